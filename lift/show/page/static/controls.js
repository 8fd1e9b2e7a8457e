// What controls may be moved within, by class of mixture, as it comes with the page.

import { byId } from "./dom.js";

export const controls = JSON.parse(byId("controls").content.textContent);
