/* Ids made on the phone. crypto.randomUUID is missing over plain http, getRandomValues is not. */
export function makeUid(now = Date.now(), random = crypto.getRandomValues(new Uint8Array(16))) {
  const bytes = Uint8Array.from(random);
  /* The time comes first (version 7), so that ids of one session stand together. */
  for (let place = 5, rest = now; place >= 0; place -= 1) {
    bytes[place] = rest % 256;
    rest = Math.floor(rest / 256);
  }
  bytes[6] = (bytes[6] & 0x0f) | 0x70;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return [0, 8, 12, 16, 20].map((start, i, all) => hex.slice(start, all[i + 1])).join("-");
}
