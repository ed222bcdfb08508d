// @ts-check
/** The entry of the office's page: names its elements, and begins. Importing anything else does nothing. */

import { ChampionNaming } from "./announce/champion-naming.js";
import { DoorPage } from "./office/door-page/door-page.js";
import { followTheme } from "./office/theme.js";
import { desk } from "./office/desk.js";
import { OfficeFrame } from "./office/office-frame/office-frame.js";
import { PAGES } from "./office/pages.js";

for (const { name, element } of PAGES) customElements.define(`${name}-page`, element);
customElements.define("champion-naming", ChampionNaming);
customElements.define("door-page", DoorPage);
customElements.define("office-frame", OfficeFrame);
followTheme();
void desk.start();
