// @ts-check
/** The entry of the page: names its elements, and begins. Importing anything else does nothing. */

import { AppFrame } from "./elements/app-frame/app-frame.js";
import { BringIn } from "./elements/bring-in/bring-in.js";
import { CardPage } from "./elements/card-page/card-page.js";
import { ClassBar } from "./elements/class-bar/class-bar.js";
import { ClassesPage } from "./elements/classes-page/classes-page.js";
import { ComparePage } from "./elements/compare-page/compare-page.js";
import { GatePage } from "./elements/gate-page/gate-page.js";
import { HorseBar } from "./elements/horse-bar/horse-bar.js";
import { HorseLine } from "./elements/horse-line/horse-line.js";
import { HorsePad } from "./elements/horse-pad/horse-pad.js";
import { HowPage } from "./elements/how-page/how-page.js";
import { JoinPage } from "./elements/join-page/join-page.js";
import { LinePage } from "./elements/line-page/line-page.js";
import { MakeClass } from "./elements/make-class/make-class.js";
import { NumberPad } from "./elements/number-pad/number-pad.js";
import { OrderPage } from "./elements/order-page/order-page.js";
import { PairPage } from "./elements/pair-page/pair-page.js";
import { PlacingPage } from "./elements/placing-page/placing-page.js";
import { PracticeAid } from "./elements/practice-aid/practice-aid.js";
import { PrintPage } from "./elements/print-page/print-page.js";
import { ReadPage } from "./elements/read-page/read-page.js";
import { ReasonsPage } from "./elements/reasons-page/reasons-page.js";
import { RingPage } from "./elements/ring-page/ring-page.js";
import { SavedState } from "./elements/saved-state/saved-state.js";
import { SavingPage } from "./elements/saving-page/saving-page.js";
import { SettingsPage } from "./elements/settings-page/settings-page.js";
import { SignPage } from "./elements/sign-page/sign-page.js";
import { StandingList } from "./elements/standing-list/standing-list.js";
import { ThumbBar } from "./elements/thumb-bar/thumb-bar.js";
import { TraitLines } from "./elements/trait-lines/trait-lines.js";
import { UpdateBar } from "./elements/update-bar/update-bar.js";
import { WrongNumber } from "./elements/wrong-number/wrong-number.js";
import { followPower } from "./state/power.js";
import { session } from "./state/session.js";
import { followSettings } from "./state/settings.js";

/** @type {Record<string, CustomElementConstructor>} */
const ELEMENTS = {
  "class-bar": ClassBar,
  "saved-state": SavedState,
  "update-bar": UpdateBar,
  "horse-line": HorseLine,
  "horse-bar": HorseBar,
  "trait-lines": TraitLines,
  "standing-list": StandingList,
  "thumb-bar": ThumbBar,
  "number-pad": NumberPad,
  "wrong-number": WrongNumber,
  "horse-pad": HorsePad,
  "join-page": JoinPage,
  "classes-page": ClassesPage,
  "make-class": MakeClass,
  "bring-in": BringIn,
  "print-page": PrintPage,
  "practice-aid": PracticeAid,
  "gate-page": GatePage,
  "ring-page": RingPage,
  "line-page": LinePage,
  "placing-page": PlacingPage,
  "compare-page": ComparePage,
  "pair-page": PairPage,
  "reasons-page": ReasonsPage,
  "how-page": HowPage,
  "order-page": OrderPage,
  "sign-page": SignPage,
  "card-page": CardPage,
  "read-page": ReadPage,
  "saving-page": SavingPage,
  "settings-page": SettingsPage,
  "app-frame": AppFrame,
};

for (const [tag, element] of Object.entries(ELEMENTS)) customElements.define(tag, element);
followSettings();
followPower();
void session.start();
