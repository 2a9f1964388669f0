"""Turns the app into a static site that starts with no network and asks nobody for anything.

    build.py         puts the site together: what is in it, in which order
    patch.py         what is taken from Flet's web client and the few strings changed in it
    trim.py          what is cut from the client: the colouring of code
    pack.py          the archives of Python: our modules, the packages (wheels.py), the standard
                     library (stdlib.py), all compiled with the Python that runs them (compiled.py)
    start_files.py   which of our files the start screen needs
    icons.py         the icon font, cut to the icons that can appear
    font_metrics.py  what laying words out needs to know of our type, read from its files
    page_words.py    the page's own words, from the catalogues of all languages
    precache.py      the list of everything a device keeps, with hashes; names the build
    squeeze.py       compressed copies for servers that send such
    serve.py         a careful static host for this machine; commands.py and stale.py around it
    uninstall.py     the site that takes the app away again from devices that have it

The page itself is in `mobile/web`: python.js starts Python while the drawing engine still loads,
shell.js shows progress and plain words, kept_copy.js looks after the copy on the device and its
updates (both are published as one file, with words.js before them), bench_io.js does for Python
what only a page can, press.js lights what is touched, worker.js runs Python, sw.js keeps and serves
the copy (with fetch_checked.js, which takes files in from the host, and go_back.js behind it).

To withdraw a site, put a `sw.js` in its place that deletes the caches named "nutwright <path> …"
and unregisters itself, and leave it there: a worker whose file is gone goes on serving for ever.
"""
