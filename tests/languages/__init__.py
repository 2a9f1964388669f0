"""The catalogues' upkeep. One file holds each language: `assets/languages/de.po`, and its compiled
`de.mo` beside it, which is what the app reads.

    python -m tests.languages              after writing or changing a sentence: collects what is
                                           said, keeps translations, compiles, counts the missing
    python -m tests.languages missing      the untranslated as JSON, {English: ""}, to fill in
    python -m tests.languages add FILE …   puts such JSON, filled in, into de.po, and compiles

`missing` and `add` mean German unless they are told `--language CODE`. A count's sentence is
{"one": ["eins", "viele"]}, with as many forms as the language has; a word that is said by its
meaning (`say_as("verb", "open")`) is {"verb::open": "öffnen"} with "::" between. `add` also takes
sentences that nothing says yet: they wait, and `python -m tests.languages tidy` drops those still
waiting. All of them lock the files, so several people may add at once; commit .po and .mo together.
The glossary at the head of de.po says which German word stands for which of the trade's.

A new language is a new .po: an empty file named by its code (ISO 639-1) is enough to begin with.
Run the first command, and it is filled with all that is said. Three entries tell the app of it:
"language::en" is its code, "language::English" what it calls itself, "decimal mark::." its mark.
"""
