/* Which day it is for the client: a page may be older than today, and the phone in another zone. Pure. */
function dayIn(zone, now) {
  const parts = new Intl.DateTimeFormat("en", { year: "numeric", month: "2-digit", day: "2-digit", timeZone: zone })
    .formatToParts(now);
  return ["year", "month", "day"].map((name) => parts.find(({ type }) => type === name).value).join("-");
}

/* The page's own day holds only where it lies ahead: then the phone's clock is behind. */
export function dayNow({ today, zone }, now = Date.now()) {
  let day;
  try {
    day = dayIn(zone, now);
  } catch {
    /* A zone that this browser does not know. */
    day = dayIn(undefined, now);
  }
  return today > day ? today : day;
}

/* The days after one up to another, newest first. */
export function daysAfter(before, last) {
  const found = [];
  for (const at = new Date(`${last}T12:00:00Z`); found.length < 14; at.setUTCDate(at.getUTCDate() - 1)) {
    const day = at.toISOString().slice(0, 10);
    if (day <= before) break;
    found.push(day);
  }
  return found;
}
