"""The catalogue's upkeep. One file holds each language: `assets/languages/de.po`, and its compiled
`de.mo` beside it, which is what the app reads.

    python -m tests.languages              after writing or changing a sentence: collects what is
                                           said, keeps translations, compiles, counts the missing
    python -m tests.languages missing      the untranslated as JSON, {English: ""}, to fill in
    python -m tests.languages add FILE …   puts such JSON, filled in, into de.po, and compiles

A count's sentence is {"one": ["eins", "viele"]}; a word that is said by its meaning
(`say_as("verb", "open")`) is {"verb::open": "öffnen"} with "::" between. `add` also takes sentences
that nothing says yet: they wait, and `python -m tests.languages tidy` drops those still waiting.
All three lock the file, so several people may add at once; commit de.po and de.mo together.
The glossary at the head of de.po says which German word stands for which of the trade's.
"""
