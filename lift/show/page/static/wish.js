// Step: wish.

import { addStep } from "./steps.js";

addStep({ id: "wish" });
