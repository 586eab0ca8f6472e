// Words said aloud by the phone's own voice, where it has one. What was being said gives way.

/** {able, say(words)}: call it from a tap. */
export function createSpeech() {
  const able = 'speechSynthesis' in globalThis && 'SpeechSynthesisUtterance' in globalThis;
  const say = (words) => {
    if (!able) return;
    const utterance = new SpeechSynthesisUtterance(words);
    utterance.lang = 'en';
    speechSynthesis.cancel();
    speechSynthesis.speak(utterance);
  };
  return { able, say };
}
