/* A clock that neither a change of the phone's time nor a locked screen can lead astray. Pure. */

/* Both clocks are read one after the other; what differs by less is no change [ms]. */
const TOLERANCE = 1000;

/* The steady clock counts while the page is in sight, whatever the time is set to. It may stand still while the
   phone sleeps; then the time of day says how long that was. A time set forward while the page was out of sight
   looks the same as sleep and is taken for it; one set back never counts. */
export class SteadyClock {
  constructor(wall = () => Date.now(), steady = () => performance.now()) {
    [this.wall, this.steady] = [wall, steady];
    this.now = wall();
    this.last = { wall: this.now, steady: steady() };
  }

  /* Milliseconds of the time of day at which this clock was made. wasAway: out of sight at any time since last read. */
  read(wasAway = false) {
    const next = { wall: this.wall(), steady: this.steady() };
    const told = next.wall - this.last.wall;
    const counted = next.steady - this.last.steady;
    this.now += wasAway && told > counted + TOLERANCE ? told : counted;
    this.last = next;
    return this.now;
  }
}

/* Seconds of a rest that are left. A set that seems to lie ahead was done just now. */
export function leftOf({ since, seconds, extra = 0 }, began, now) {
  return seconds + extra - (now - Math.min(since, began)) / 1000;
}

/* What to add so that half a minute more is left, from now where the rest is over. */
export const lengthened = (left, extra, more) => extra + more - Math.min(left, 0);
