/* All scripts of a phone page without a session; gathered into one file for serving. */
import "../../elements/number-stepper.js";
import "../phone.js";
