// Step: after.

import { addStep } from "./steps.js";

addStep({ id: "after" });
