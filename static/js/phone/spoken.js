/* Words said aloud, where the device has a voice; the newest word cuts off the one before. */
export const hasVoice = "speechSynthesis" in globalThis;

export function say(words, volume = 1) {
  if (!hasVoice) return;
  speechSynthesis.cancel();
  if (!words || !volume) return;
  const said = new SpeechSynthesisUtterance(words);
  said.lang = "en";
  said.rate = 1.3;
  speechSynthesis.speak(said);
}
