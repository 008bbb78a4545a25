/* Words of the phone pages. Pure. */
export const number = (value) => String(Math.round(value * 100) / 100);

export function amountWords(amount, measure) {
  if (measure === "seconds") return `${amount} s`;
  return amount === 1 ? "1 rep" : `${amount} reps`;
}

export function loadWords(load, kind) {
  if (kind === "none" || (kind !== "external" && !load)) return "";
  if (kind === "added") return `+${number(load)} kg`;
  return kind === "assisted" ? `${number(load)} kg of help` : `${number(load)} kg`;
}

/* Whether the coach left the load to find: what needs one has none. */
export const isToFind = (load, line) => !load && line.needs_load;

/* A load that is asked for. */
export function askedLoadWords(load, line) {
  if (!isToFind(load, line)) return loadWords(load, line.load_kind);
  return line.load_kind === "assisted" ? "help to find" : "weight to find";
}

function amountsWords(amounts, measure) {
  if (amounts.length === 1) return amountWords(amounts[0], measure);
  const same = new Set(amounts).size === 1;
  return (same ? `${amounts.length} × ${amounts[0]}` : amounts.join("-")) + (measure === "seconds" ? " s" : "");
}

export function setsWords(sets, line) {
  if (!sets.length) return "not done";
  const unit = line.measure === "seconds" ? " s" : "";
  const loads = new Set(sets.map((one) => one.load));
  if (loads.size > 1) {
    const each = (one) => `${one.amount}${unit} (${loadWords(one.load, line.load_kind) || "no load"})`;
    return sets.map(each).join(", ");
  }
  const load = loadWords(sets[0].load, line.load_kind);
  const amounts = amountsWords(sets.map((one) => one.amount), line.measure);
  return load ? `${amounts} · ${load}` : amounts;
}

/* What the large button says before it is pressed. */
export function saveWords(slot, amount, load) {
  const { line, target } = slot;
  const words = amountWords(amount, line.measure);
  const sameLoad = !line.takes_load || load === line.load;
  if (line.takes_load && isToFind(load, line)) return `Log ${words} · no weight`;
  if (target !== null && amount === target && sameLoad) return `${words}, as planned`;
  const with_load = line.takes_load && !sameLoad ? loadWords(load, line.load_kind) || "no load" : "";
  return with_load ? `Log ${words} · ${with_load}` : `Log ${words}`;
}

/* Why the rest has not arrived yet. */
export function whyWords(why) {
  const words = { offline: "no network", waiting: "waiting to send", "signed-out": "sign in to send", refused: "not accepted" };
  return words[why] ? ` · ${words[why]}` : "";
}

/* How much lies on this phone and how much of it has arrived. */
export function savedWords({ saved, unsent, others, why, withWhom }) {
  if (!saved && !unsent && !others) return "Nothing logged yet";
  const more = others ? ` · ${others} more to send` : "";
  return `${saved} saved here, ${saved - unsent} ${withWhom}${more}${whyWords(why)}`;
}

export function clockWords(seconds) {
  const whole = Math.abs(Math.round(seconds));
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}

/* A marked pain: pain 7, knee, left. */
export const painWords = ({ pain, pain_where: where }) => `pain ${pain}${where ? `, ${where}` : ""}`;
