/* What every phone page has: the count of what is saved, problems, body weight, rest and tempo, the guard before signing out. */
import "../busy.js";
import "../dialogs.js";
import "../elements/message-list.js";
import "./body_weight.js";
import "./coach_words.js";
import "./hold_stopwatch.js";
import "./new_day.js";
import "./offline_keeper.js";
import "./rest_timer.js";
import "./saved_count.js";
import "./session_clock.js";
import "./sound_switch.js";
import "./tempo_beat.js";
import "./unsent_guard.js";
import "./unsent_list.js";
import "./unsent_problems.js";
