// @ts-check
/**
 * The entry of the page: names its elements, and begins. Importing anything else does nothing, but for `more.js`, which
 * names those of the pages that are not needed for marking, once this page is at work.
 */

import { AppFrame } from "./elements/app-frame/app-frame.js";
import { fetchMore } from "./elements/app-frame/more-pages.js";
import { CallBar } from "./elements/call-bar/call-bar.js";
import { ClassBar } from "./elements/class-bar/class-bar.js";
import { ClassesPage } from "./elements/classes-page/classes-page.js";
import { ComparePage } from "./elements/compare-page/compare-page.js";
import { HorseBar } from "./elements/horse-bar/horse-bar.js";
import { HorseLine } from "./elements/horse-line/horse-line.js";
import { HorsePad } from "./elements/horse-pad/horse-pad.js";
import { JoinPage } from "./elements/join-page/join-page.js";
import { LinePage } from "./elements/line-page/line-page.js";
import { NumberPad } from "./elements/number-pad/number-pad.js";
import { PlacingPage } from "./elements/placing-page/placing-page.js";
import { PracticeAid } from "./elements/practice-aid/practice-aid.js";
import { RingPage } from "./elements/ring-page/ring-page.js";
import { SavedState } from "./elements/saved-state/saved-state.js";
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
  "call-bar": CallBar,
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
  "practice-aid": PracticeAid,
  "ring-page": RingPage,
  "line-page": LinePage,
  "placing-page": PlacingPage,
  "compare-page": ComparePage,
  "app-frame": AppFrame,
};

for (const [tag, element] of Object.entries(ELEMENTS)) customElements.define(tag, element);
followSettings();
followPower();
void session.start().then(() => {
  // A page opened later, perhaps out of reach of the server, is at hand by then; the start does not wait for it.
  (globalThis.requestIdleCallback ?? setTimeout)(fetchMore);
});
