// What a page or a service worker says by itself, in the language of its reader. The publisher puts
// this before the scripts that speak, and fills in their sentences in every language that ships, from
// the catalogues in assets/languages (see mobile/publish/page_words.py).
"use strict";

const CATALOGUES = {{words}};

// Says sentences in the language of a tag such as "de-CH", in English where that does not ship.
// `say` puts facts in by name; `sayAs` is for a word that needs its meaning to be translated.
function sayingIn(tag) {
  const code = tag.split(/[-_]/)[0].toLowerCase();
  const catalogue = CATALOGUES[code] || {};
  return {
    language: code in CATALOGUES ? code : "en",
    say: (text, facts = {}) => (catalogue[text] || text)
      .replace(/\{(\w+)\}/g, (found, name) => (name in facts ? facts[name] : found)),
    sayAs: (meaning, text) => catalogue[`${meaning}\u0004${text}`] || text,
  };
}

// Puts the page's own text, wherever an element carries data-say, into that language.
function sayElements({ language, say }) {
  if (language === "en") return;
  document.documentElement.lang = language;
  for (const element of document.querySelectorAll("[data-say]")) {
    element.textContent = say(element.textContent.replace(/\s+/g, " ").trim());
  }
}
