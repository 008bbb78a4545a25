/* The answer to a note as it stands: the page's, what arrived since, and what is unsent. Pure. */
const flat = ({ uid, revision, body }, isHere) => ({ ...body, uid, revision, isHere });

const ofWeek = (week) => (entry) => entry.body.kind === "word" && entry.body.week === week;

export function answerNow(data, week, { entries, kept }) {
  const known = new Map(data.word?.week === week ? [[data.word.uid, data.word]] : []);
  const later = [
    ...kept.filter(ofWeek(week)).map((one) => flat(one, false)),
    ...entries.filter(ofWeek(week)).map((one) => flat(one, true)),
  ];
  for (const one of later) {
    if (one.revision > (known.get(one.uid)?.revision ?? 0)) known.set(one.uid, one);
  }
  const said = [...known.values()].filter((one) => !one.removed);
  return said.sort((a, b) => Date.parse(a.done_at) - Date.parse(b.done_at)).at(-1) ?? null;
}

export function answerWords({ text, isHere, seen }) {
  const where = isHere ? "saved here, not with your coach yet" : seen ? `read ${seen}` : "with your coach";
  return `You: “${text}” · ${where}`;
}
