// @ts-check
/**
 * The pages that are not needed for marking: loaded by `main.js` when it is at work, or when one is opened before that.
 */

import { ChampionNaming } from "./announce/champion-naming.js";
import { BringIn } from "./elements/bring-in/bring-in.js";
import { CallPage } from "./elements/call-page/call-page.js";
import { CallsPage } from "./elements/calls-page/calls-page.js";
import { CardPage } from "./elements/card-page/card-page.js";
import { ChampionsPage } from "./elements/champions-page/champions-page.js";
import { GateHorse } from "./elements/gate-page/gate-horse.js";
import { GatePage } from "./elements/gate-page/gate-page.js";
import { HowPage } from "./elements/how-page/how-page.js";
import { MakeClass } from "./elements/make-class/make-class.js";
import { OrderPage } from "./elements/order-page/order-page.js";
import { PairPage } from "./elements/pair-page/pair-page.js";
import { PrintPage } from "./elements/print-page/print-page.js";
import { ReadPage } from "./elements/read-page/read-page.js";
import { ReasonsPage } from "./elements/reasons-page/reasons-page.js";
import { SavingPage } from "./elements/saving-page/saving-page.js";
import { SettingsPage } from "./elements/settings-page/settings-page.js";
import { SignPage } from "./elements/sign-page/sign-page.js";
import { SlipsPage } from "./elements/slips-page/slips-page.js";

/** @type {Record<string, CustomElementConstructor>} */
const ELEMENTS = {
  "bring-in": BringIn,
  "call-page": CallPage,
  "calls-page": CallsPage,
  "card-page": CardPage,
  "champion-naming": ChampionNaming,
  "champions-page": ChampionsPage,
  "gate-horse": GateHorse,
  "gate-page": GatePage,
  "how-page": HowPage,
  "make-class": MakeClass,
  "order-page": OrderPage,
  "pair-page": PairPage,
  "print-page": PrintPage,
  "read-page": ReadPage,
  "reasons-page": ReasonsPage,
  "saving-page": SavingPage,
  "settings-page": SettingsPage,
  "sign-page": SignPage,
  "slips-page": SlipsPage,
};

for (const [tag, element] of Object.entries(ELEMENTS)) customElements.define(tag, element);
