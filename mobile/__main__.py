"""python -m mobile: build the app if it is stale and serve it; `build` and `serve` do one each."""

from __future__ import annotations

from shared.bootstrap import ensure

if __name__ == "__main__":
    ensure()
    from mobile.publish.commands import main

    raise SystemExit(main())
