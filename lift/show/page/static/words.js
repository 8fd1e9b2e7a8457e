// What is said: the page carries its texts, by code, and here numbers are put into them.

const words = JSON.parse(document.getElementById("words").content.textContent);

export const say = (code, values = {}) =>
  words[code].replace(/\{(\w+)\}/g, (_, name) => values[name]);

// Word for the code of a mixture, a dye, a part; what a user has named herself has no other word.
export const named = (family, code) => words[`${family}.${code}`] ?? code;
