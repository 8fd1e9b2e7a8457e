// Step: hair.

import { addStep } from "./steps.js";

addStep({ id: "hair" });
