// Emergency words in a text nobody can read just now. The phrases come with the round, from the same knowledge. Pure.
const TAIL = /(\p{L}+)['’](?:s|ve|ll|d|re|m)(?!\p{L})/gu;
const APOSTROPHES = /['’]/g;
const BETWEEN = new Set(["his", "her", "the", "its", "their", "a", "an", "my", "this", "that"]);
const DENIED_WITHIN = 3;

// The emergency signs the words name, plainly heard: at worst one too many, and each says "perhaps".
export function plainAlarms(text, { alarm_words: signs = [], denying_words: denying = [] }) {
  const found = new Map();
  for (const sentence of text.split(/[.!?;\n]+/)) {
    const words = wordsOf(sentence);
    for (const sign of signs) {
      if (!found.has(sign.rule) && sign.phrases.some((phrase) => isSaid(phrase.split(" "), words, denying))) found.set(sign.rule, { ...sign, said: sentence.trim() });
    }
  }
  return [...found.values()];
}

function wordsOf(sentence) {
  const plain = sentence.toLowerCase().replace(TAIL, "$1").replace(APOSTROPHES, "").replace(/\bcannot\b/g, "cant");
  return (plain.match(/[\p{L}\d]+/gu) ?? []).filter((word) => !BETWEEN.has(word));
}

function isSaid(phrase, words, denying) {
  return words.some((_, at) => phrase.every((part, i) => fits(part, words[at + i])) && !isDenied(words.slice(Math.max(0, at - DENIED_WITHIN), at), denying));
}

function fits(part, word = "") {
  return part.endsWith("*") ? word.startsWith(part.slice(0, -1)) && word !== "" : part === word;
}

function isDenied(before, denying) {
  const said = ` ${before.join(" ")} `;
  return denying.some((word) => said.includes(` ${word} `));
}
