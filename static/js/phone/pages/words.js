/* All scripts of a client's Words; gathered into one file for serving. */
import "../phone.js";
import "../own_words.js";
