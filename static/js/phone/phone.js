/* What every phone page has: the count of what is saved, problems, body weight, the guard before signing out. */
import "./body_weight.js";
import "./rest_timer.js";
import "./saved_count.js";
import "./session_clock.js";
import "./unsent_guard.js";
import "./unsent_list.js";
import "./unsent_problems.js";
