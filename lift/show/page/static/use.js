// Step: use.

import { addStep } from "./steps.js";

addStep({ id: "use" });
