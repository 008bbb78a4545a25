/* The scripts of the page that stands in for one that is not kept; gathered into one file for serving. */
import "../kept_here.js";
