// Step: tone.

import { addStep } from "./steps.js";

addStep({ id: "tone" });
