/* Another week is another page: the exercise at hand there is the same one. */
const KEPT = "blockwright.exercise-at-hand";

const cellsOf = (stop) => [...stop.closest(".block-line").querySelectorAll(".strip > *")];

/* Remember the exercise of a stop as it stands in the week by that place, counted from 0. */
export function keepFor(place, stop) {
  const uid = stop && cellsOf(stop)[place]?.dataset.at;
  if (uid) sessionStorage.setItem(KEPT, uid);
}

/* What the page before remembered, once. */
export function takeKept() {
  const uid = sessionStorage.getItem(KEPT);
  sessionStorage.removeItem(KEPT);
  return uid ?? "";
}
