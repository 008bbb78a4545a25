/* Whether a page that was made on another day may be fetched anew. Pure. */
import { dayNow } from "./local_day.js";

const STILL_TRAINING = 3 * 3600000;

/* What was put in by hand and is not kept yet. Reserve is kept with the tap. */
export function isChanged(field) {
  if (field.name === "rir") return false;
  if (["radio", "checkbox"].includes(field.type)) return field.checked !== field.defaultChecked;
  if (field.options) return [...field.options].some((one, place) => one.selected !== (place === 0));
  return field.value !== field.defaultValue;
}

/* fields: all of the page; isOpen: a sheet stands open; said: entries that the page knows of. */
export function isOutdated({ data, fields, isOpen, said }, now = Date.now()) {
  if (dayNow(data, now) === data.today || isOpen || fields.some(isChanged)) return false;
  return !said.some(({ done_at: at }) => at && Math.abs(now - Date.parse(at)) < STILL_TRAINING);
}
