/* All scripts of Today with a session; gathered into one file for serving. */
import "../../elements/number-stepper.js";
import "../phone.js";
import "../today_session.js";
