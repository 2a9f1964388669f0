"""Labels as views: what is printed on them and where they lead, what is found by one."""

from __future__ import annotations

from ipaddress import ip_address
from urllib.parse import urlsplit

from logic.app.views.label_views import FindLabelView, LabelsView, UnknownLabelView
from logic.bench.tables.trade_tables import TradeTables
from logic.drawing.label_grid import label_grid
from logic.drawing.page import Paper
from logic.history.history import History
from shared.words import mark, say, say_many

ON_THIS_MACHINE = mark(
    "This address leads to this machine alone: a phone that scans such a label opens nothing. "
    "Print labels where the app is served to the phones."
)
IN_THIS_NETWORK = mark(
    "This address works in this network only. Print labels where the app is served to the phones, "
    "if that is elsewhere."
)
NOT_KEPT = mark(
    "From an address without https no phone keeps the app: labels then lead nowhere without a "
    "network."
)
ADDRESS_UNKNOWN = mark("The app is still opening: try again in a moment.")
_SHOWN_OF_CODE = 4


def labels_view(
    history: History, chosen: tuple[str, ...], trade: TradeTables, address: str, note: str
) -> LabelsView:
    """Of which instruments labels are printed, on how many sheets, and where they lead."""
    _, on_record = history.find_instruments("", 0, 0)
    count = len(chosen) or on_record
    sheets = {paper: label_grid(paper, trade.labels).sheets(count) for paper in Paper}
    return LabelsView(
        count=_count_in_words(len(chosen), on_record),
        sheets=say(
            "{a4} of A4, or {letter} of Letter",
            a4=_sheets_in_words(sheets[Paper.A4]),
            letter=_sheets_in_words(sheets[Paper.LETTER]),
        ),
        about=(
            say(
                "A label holds a name and a square code. A phone's camera that is pointed at it "
                "opens that instrument's quick check, without a network too."
            ),
            say(
                "The code is this address and a random number: no name, no owner. If the app moves "
                "to another address, print them anew."
            ),
        ),
        address=address,
        doubt=say(doubt_of(address)) if doubt_of(address) else "",
        ready=bool(count and address),
        note=note,
    )


def _count_in_words(chosen: int, on_record: int) -> str:
    if chosen:
        return say_many("{count} chosen instrument", "{count} chosen instruments", chosen)
    return say_many("{count} instrument on record", "All {count} instruments", on_record)


def _sheets_in_words(count: int) -> str:
    return say_many("{count} sheet", "{count} sheets", count)


def doubt_of(address: str) -> str:
    """Why labels with this address may open nothing on a phone, to be said; empty where they do."""
    if not address:
        return ADDRESS_UNKNOWN
    parts = urlsplit(address)
    host = parts.hostname or ""
    try:
        number = ip_address(host)
    except ValueError:
        here, near = host in ("", "localhost") or host.endswith(".localhost"), "." not in host
        near = near or host.endswith((".local", ".lan", ".internal"))
    else:
        here, near = number.is_loopback or number.is_unspecified, number.is_private
    if here or parts.scheme not in ("http", "https"):
        return ON_THIS_MACHINE
    if parts.scheme == "http":
        return NOT_KEPT
    return IN_THIS_NETWORK if near else ""


def find_label_view(scans: bool, note: str) -> FindLabelView:
    """How an instrument is found by its label, here and anywhere."""
    camera = say(
        "Point the phone's own camera at the label and follow the link that it shows. The link "
        "opens the instrument's quick check, without a network too."
    )
    itself = (
        say("This browser reads labels too: take a photo of one from here.")
        if scans
        else say("This browser reads no square codes itself; the phone's camera does.")
    )
    return FindLabelView((camera, itself), scans, note)


def unknown_label_view(code: str) -> UnknownLabelView:
    """What happened, what is safe and what to do next, where no instrument here has that code."""
    ends = say("The label's code ends in {end}.", end=code[-_SHOWN_OF_CODE:]) if code else ""
    happened = say(
        "It may be a label of another bench. Or its instrument was erased, or has not come to this "
        "device yet."
    )
    safe = say("Nothing was changed: everything on this device is kept.")
    further = say(
        "Find the instrument in the list by its name. If another device knows it, bring the two in "
        "step, under Records. If the app is also on this phone's home screen, look for it there: "
        "what was recorded there may be kept apart."
    )
    about = (happened, safe, further, ends)
    return UnknownLabelView(
        say("No instrument here has this label"), tuple(line for line in about if line)
    )
