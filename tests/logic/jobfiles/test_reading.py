"""Job files: what is left out, what is refused, and that nothing else ever comes out."""

import json
import time
from typing import Any

import pytest

from logic.jobfiles.reading import kinds, preset_instrument, preset_kit, read_job
from logic.testing import TRADE
from shared.errors import JobFileError
from shared.instrument import Attack, NutType
from shared.readings import Contact
from shared.units import Length

ELECTRIC: dict[str, Any] = {"instrument": {"kind": "electric guitar"}}
WHOLE: dict[str, Any] = {
    "format": "nutwright.job",
    "version": 1,
    "instrument": {
        "label": "Alder Row 7",
        "kind": "12-string guitar",
        "scale": "645 mm",
        "fretted": True,
        "relief": "0.20 mm",
        "action_12": {"6 main": "2.4 mm", "1": "2.0 mm"},
        "nut": {"type": "slotted", "material": "bone", "shim": "0 mm", "width": "48 mm"},
        "serial": "kept though nobody knows it",
    },
    "player": {"attack": "heavy", "targets": {"6 octave": "0.40 mm"}},
    "kit": {"leaves": ["0.010 in", "0.020 in"], "files": ["0.010 in"], "shims": ["0.1 mm"]},
    "shop_note": "kept as well",
    "complaint": "sour near the nut",
    "checks": {"at_pitch": "yes", "seated": {"6 octave": "yes", "1": "no"}},
    "readings": [
        {"string": "6 main", "leaf": ["0.010 in", "0.020 in"], "contact": "light"},
        {"string": 12, "clearance": "0,50 mm", "buzz": "none"},
        {"string": 9, "held_at": 3, "gap": "0.1 mm"},
        {"string": 1, "fret": 1, "cents": 8},
    ],
}


def refused(job: object) -> JobFileError:
    """The complaint about `job`, which must be one line with a field and what would do."""
    text = job if isinstance(job, str | bytes) else json.dumps(job)
    with pytest.raises(JobFileError) as caught:
        read_job(text, TRADE)
    error = caught.value
    assert error.field
    assert error.ask
    assert len(str(error).splitlines()) == 1
    assert len(str(error)) < 600
    return error


def electric(**fields: Any) -> dict[str, Any]:
    """A six-string electric guitar with some fields of its own."""
    return {"instrument": {"kind": "electric guitar", **fields}}


def test_a_whole_job_is_read() -> None:
    """Every field arrives as what it means, unknown ones included."""
    job, assumed = read_job(json.dumps(WHOLE), TRADE)
    assert job.instrument.relief == Length.parse("0.2 mm")
    assert job.instrument.action_12 == {11: Length.parse("2.4 mm"), 1: Length.parse("2 mm")}
    assert job.instrument.model_extra == {"serial": "kept though nobody knows it"}
    assert job.model_extra == {"shop_note": "kept as well"}
    assert job.player.attack is Attack.HEAVY
    assert job.player.targets == {12: Length.parse("0.4 mm")}
    assert job.checks == {"at_pitch": "yes", "seated": {"12": "yes", "1": "no"}}
    assert [reading.string for reading in job.readings] == [11, 12, 9, 1]
    assert job.readings[0].contact is Contact.LIGHT
    assert len(job.readings[0].leaves) == 2
    assert {one.field for one in assumed} == {"instrument.strings"}


def test_a_job_survives_a_round_trip() -> None:
    """What was read, written down and read again is the same job."""
    job, _ = read_job(json.dumps(WHOLE), TRADE)
    again, assumed = read_job(job.model_dump_json(), TRADE)
    assert again == job
    assert not assumed


def test_what_is_left_out_comes_from_the_preset_and_is_said() -> None:
    """A kind alone is a job; everything taken for it is named with its value and why."""
    job, assumed = read_job(json.dumps(ELECTRIC), TRADE)
    said = {one.field: one for one in assumed}
    assert job.instrument == preset_instrument("electric guitar", TRADE)
    assert job.kit == preset_kit(TRADE).model_copy(update={"name": ""})
    assert said["instrument.scale"].value == "25.5 in"
    assert "E2 0.046 in" in said["instrument.strings"].value
    assert said["player.attack"].value == "medium"
    assert said["kit.leaves"].why == "taken from a usual bench drawer"
    assert "instrument.nut.material" in said
    assert "player.targets" in said


def test_relief_is_never_assumed() -> None:
    """Only a measured relief counts, so no preset brings one."""
    job, assumed = read_job(json.dumps(ELECTRIC), TRADE)
    assert job.instrument.relief is None
    assert not [one for one in assumed if "relief" in one.field]


def test_a_listed_string_is_completed_by_its_number() -> None:
    """What a listed string leaves out is that string's of the preset; a list is the whole list."""
    job, assumed = read_job(
        json.dumps(electric(strings=[{"string": 6, "gauge": "52"}, {"string": 1}])), TRADE
    )
    assert [spec.string for spec in job.instrument.strings] == [6, 1]
    low = job.instrument.spec(6)
    assert str(low.pitch) == "E2"
    assert low.gauge == Length.parse("0.052 in")
    assert low.core is None, "another gauge has another core"
    assert "instrument.strings[1].gauge" in {one.field for one in assumed}
    assert "instrument.strings[0].gauge" not in {one.field for one in assumed}


def test_null_is_as_good_as_left_out() -> None:
    """A null falls back to the preset like a missing field."""
    nulls = electric(scale=None, nut=None, strings=None, action_12=None)
    job, assumed = read_job(json.dumps(nulls | {"kit": None, "readings": None}), TRADE)
    bare, same = read_job(json.dumps(ELECTRIC), TRADE)
    assert job == bare
    assert assumed == same


@pytest.mark.parametrize("kind", kinds(TRADE))
def test_every_kind_has_a_whole_preset(kind: str) -> None:
    """Each kind is read back from its own figures, its strings numbered from 1 without a hole."""
    instrument = preset_instrument(kind, TRADE)
    numbers = sorted(spec.string for spec in instrument.strings)
    assert numbers == list(range(1, len(numbers) + 1))
    for spec in instrument.strings:
        assert (spec.core is not None) == spec.make.value.startswith("wound ")
        assert spec.core is None or spec.core < spec.gauge
        assert instrument.number_of(instrument.name_of(spec.string)) == spec.string
    body = {"instrument": json.loads(instrument.model_dump_json())}
    assert read_job(json.dumps(body), TRADE)[0].instrument == instrument


@pytest.mark.parametrize("kind", kinds(TRADE))
def test_every_figure_of_a_preset_has_a_source(kind: str) -> None:
    """Scale, pitches, gauges, makes, nut, action and cores each say where they are from."""
    table = TRADE.presets.kinds[kind]
    needed = {"scale", "pitches", "gauges", "makes", "nut", "action_12"}
    if any(spec.core for spec in table.strings):
        needed.add("cores")
    assert needed <= {name for name, source in table.sources if source}


@pytest.mark.parametrize(
    ("kind", "pitches"),
    [
        # tuning tables of a general encyclopaedia (h2g2), scientific pitch names
        ("electric guitar", "E2 A2 D3 G3 B3 E4"),
        ("steel-string guitar", "E2 A2 D3 G3 B3 E4"),
        ("nylon-string guitar", "E2 A2 D3 G3 B3 E4"),
        ("bass guitar", "E1 A1 D2 G2"),
        ("soprano ukulele", "G4 C4 E4 A4"),
        ("concert ukulele", "G4 C4 E4 A4"),
        ("tenor ukulele", "G4 C4 E4 A4"),
        ("mandolin", "G3 G3 D4 D4 A4 A4 E5 E5"),
        ("5-string banjo", "G4 D3 G3 B3 D4"),  # from memory
    ],
)
def test_presets_are_tuned_as_published(kind: str, pitches: str) -> None:
    """From the bass side of the nut, the strings of each kind sound as the tables list them."""
    strings = preset_instrument(kind, TRADE).strings
    assert " ".join(str(spec.pitch) for spec in strings) == pitches


def test_a_kind_may_be_written_in_small_letters() -> None:
    """Names of countries too; what is known of it is the kind's own."""
    job, assumed = read_job(json.dumps({"instrument": {"kind": "irish  BOUZOUKI"}}), TRADE)
    assert job.instrument == preset_instrument("Irish bouzouki", TRADE)
    assert any("usual Irish bouzouki" in one.why for one in assumed)


def test_nylon_gauges_are_the_published_set() -> None:
    """Twice the radii of the normal-tension nylon set in Anderson and Beausoleil, J. Acoust. Soc.
    Am. 156(1), 683 (2024)."""
    radii = {1: 0.356, 2: 0.409, 3: 0.512, 4: 0.368, 5: 0.445, 6: 0.546}
    guitar = preset_instrument("nylon-string guitar", TRADE)
    for string, radius in radii.items():
        assert guitar.spec(string).gauge.mm == pytest.approx(2 * radius)


def test_the_banjos_fifth_string_has_its_own_nut() -> None:
    """It starts at fret 5, and no other string of any preset starts anywhere but the nut."""
    late = [
        (kind, spec.string, spec.from_fret)
        for kind in kinds(TRADE)
        for spec in preset_instrument(kind, TRADE).strings
        if spec.from_fret
    ]
    assert late == [("5-string banjo", 5, 5)]


REFUSALS: list[tuple[object, str, str]] = [
    ("", "job file", "is empty"),
    ("{", "job file", "is not JSON"),
    ("[]", "job file", "write an object"),
    ('"E2"', "job file", "write an object"),
    (b"\xff\xfe{}", "job file", "save it as UTF-8"),
    ("[" * 200_000, "job file", "nested too deeply"),
    ('{"a":' * 90 + "1" + "}" * 90, "a.a.a", "nested too deeply"),
    ('{"instrument": {"kind": "other", "kind": "other"}}', "kind", "is written twice"),
    ({}, "instrument", "is missing"),
    ({"format": "nutwright.plan", **ELECTRIC}, "format", "nutwright.job"),
    ({"version": 2, **ELECTRIC}, "version", "newer Nutwright"),
    ({"version": "1", **ELECTRIC}, "version", "write 1"),
    ({"version": True, **ELECTRIC}, "version", "write 1"),
    ({"instrument": []}, "instrument", "write an object"),
    ({"instrument": {}}, "instrument.kind", "electric guitar"),
    ({"instrument": {"kind": "lute of the moon"}}, "instrument.kind", "no such kind"),
    ({"instrument": {"kind": "bouzouki"}}, "instrument.kind", "Irish bouzouki, Greek bouzouki"),
    ({"instrument": {"kind": "dulcimer"}}, "instrument.kind", "mountain dulcimer"),
    ({"instrument": {"kind": "bas guitar"}}, "instrument.kind", 'did you mean "bass guitar"?'),
    ({"instrument": {"kind": 7}}, "instrument.kind", "no such kind"),
    (electric(scale="0 mm"), "instrument.scale", "far from any electric guitar scale"),
    (electric(scale="648"), "instrument.scale", "write 648 mm"),
    (electric(scale=True), "instrument.scale", "write a number and its unit"),
    (electric(scale={"mm": 648}), "instrument.scale", "write a number and its unit"),
    (electric(label="x" * 3_000_000), "instrument.label", "3000000 characters"),
    (electric(label="a\u0000b"), "instrument.label", "control sign"),
    (electric(label="a\ud800b"), "instrument.label", "control sign"),
    (electric(a4_hz=4400), "instrument.a4_hz", "up to 480"),
    (electric(fretted="perhaps"), "instrument.fretted", "true or false"),
    (electric(nut={"type": "magic"}), "instrument.nut.type", "'slotted'"),
    (electric(nut=[1]), "instrument.nut", "write an object"),
    (electric(strings=[]), "instrument.strings", "has no strings"),
    (electric(strings={}), "instrument.strings", "write a list"),
    (electric(strings=[3]), "instrument.strings[0]", "write an object"),
    (electric(strings=[{}]), "instrument.strings[0].string", "is missing"),
    (electric(strings=[{"string": "6"}]), "instrument.strings[0].string", "whole number"),
    (electric(strings=[{"string": True}]), "instrument.strings[0].string", "whole number"),
    (
        electric(strings=[{"string": 99, "pitch": "E2", "gauge": "46", "make": "nylon"}]),
        "instrument.strings[0].string",
        "up to 24",
    ),
    (electric(strings=[{"string": 6}, {"string": 6}]), "instrument.strings[1].string", "twice"),
    (electric(strings=[{"string": 7}]), "instrument.strings[0].pitch", "no string 7"),
    (
        electric(strings=[{"string": 6, "gauge": "30 lb"}]),
        "instrument.strings[0].gauge",
        "calliper",
    ),
    (electric(strings=[{"string": 6, "pitch": "E"}]), "instrument.strings[0].pitch", "octave"),
    (electric(strings=[{"string": 6, "make": "straw"}]), "instrument.strings[0].make", "nylon"),
    (
        electric(strings=[{"string": 6, "gauge": "46", "core": "46"}]),
        "instrument.strings[0].core",
        "no thinner than the string",
    ),
    (electric(action_12={"9": "2 mm"}), "instrument.action_12.9", "no string 9"),
    (electric(action_12="2 mm"), "instrument.action_12", "write an object"),
    ({**ELECTRIC, "player": {"attack": "wild"}}, "player.attack", "'light'"),
    ({**ELECTRIC, "player": {"targets": {"6": "18"}}}, "player.targets.6", "write 18 thou"),
    ({**ELECTRIC, "player": {"budget_cents": 0}}, "player.budget_cents", "above 0"),
    ({**ELECTRIC, "kit": ["0.010 in"]}, "kit", "write an object"),
    ({**ELECTRIC, "kit": {"leaves": "0.010 in"}}, "kit.leaves", "write a list"),
    ({**ELECTRIC, "kit": {"leaves": ["18 mm"]}}, "kit.leaves[0]", "18 thou (0.46 mm)"),
    ({**ELECTRIC, "kit": {"leaves": ["18 thou"] * 201}}, "kit.leaves", "at most 200"),
    ({**ELECTRIC, "kit": {"leaves": []}}, "kit.leaves", "no leaves and no readings"),
    ({**ELECTRIC, "checks": [1]}, "checks", "write an object"),
    ({**ELECTRIC, "checks": {"relief": [1]}}, "checks.relief", "answer with words"),
    ({**ELECTRIC, "checks": {"seated": {"9": "yes"}}}, "checks.seated.9", "no string 9"),
    ({**ELECTRIC, "complaint": 3}, "complaint", "text in quotes"),
    ({**ELECTRIC, "readings": {}}, "readings", "write a list"),
    ({**ELECTRIC, "readings": ["light"]}, "readings[0]", "write an object"),
]
READINGS: list[tuple[dict[str, Any], str, str]] = [
    ({}, "string", "name a string"),
    ({"string": 9, "clearance": "0.4 mm"}, "string", "name one of 6, 5, 4, 3, 2, 1"),
    ({"string": 6.0, "clearance": "0.4 mm"}, "string", "name a string"),
    ({"string": 6}, "", "give a leaf and contact"),
    ({"string": 6, "leaf": "18 thou"}, "", "leaf and contact go together"),
    ({"string": 6, "leaf": "18 mm", "contact": "light"}, "leaf", "did you mean 18 thou"),
    ({"string": 6, "leaf": 18, "contact": "light"}, "leaf", "write 18 thou"),
    ({"string": 6, "leaf": ["9 thou", "9"], "contact": "none"}, "leaf[1]", "write 9 thou"),
    ({"string": 6, "leaf": "18 thou", "contact": "soft"}, "contact", "'none', 'light'"),
    ({"string": 6, "buzz": "loud"}, "buzz", "'soft'"),
    ({"string": 6, "clearance": "46"}, "clearance", "write 46 thou"),
    ({"string": 6, "clearance": "46 mm"}, "clearance", "46 thou (1.17 mm)"),
    ({"string": 6, "clearance": "0.046 in"}, "clearance", "write it as 1.17 mm"),
    ({"string": 6, "held_at": 7, "gap": "0.1 mm"}, "held_at", "up to 4"),
    ({"string": 6, "held_at": 3, "gap": "10 mm"}, "gap", "far from any gap"),
    ({"string": 6, "fret": 1, "cents": 96}, "cents", "not hertz"),
    ({"string": 6, "fret": 1, "cents": "sharp"}, "cents", "write a number"),
]
REFUSALS += [
    (
        {"instrument": {"kind": "12-string guitar", "action_12": {"6 octave": "24 mm"}}},
        "instrument.action_12.6 octave",
        "did you mean 2.4 mm",
    ),
    (
        {"instrument": {"kind": "12-string guitar", "action_12": {"7 octave": "2.4 mm"}}},
        "instrument.action_12.7 octave",
        "there is no string 7 octave on this instrument",
    ),
    (
        {**ELECTRIC, "player": {"targets": {"6": "18"}}},
        "player.targets.6",
        "write 18 thou",
    ),
    (
        {**ELECTRIC, "readings": [{"string": 6, "leaf": ["9 thou"], "contact": "none"}]},
        "readings[0].leaf[1]",
        "is missing",
    ),
]
REFUSALS += [
    ({**ELECTRIC, "readings": [reading]}, f"readings[0].{field}".rstrip("."), says)
    for reading, field, says in READINGS
]


@pytest.mark.parametrize(("job", "field", "says"), REFUSALS)
def test_what_cannot_be_used_is_one_clear_line(job: object, field: str, says: str) -> None:
    """Each bad job names the field it fails in and says what would do."""
    error = refused(job)
    assert error.field.startswith(field)
    assert says in str(error)


@pytest.mark.parametrize("number", ["NaN", "Infinity", "-Infinity", "1e999", "9" * 5000])
def test_no_number_without_end_is_read(number: str) -> None:
    """Neither what JSON never had nor what no bench measures gets past its field."""
    error = refused(f'{{"instrument": {{"kind": "other", "a4_hz": {number}}}}}')
    assert error.field == "instrument.a4_hz"
    assert "not a usable number" in str(error)


@pytest.mark.alone
def test_a_monstrous_file_is_refused_quickly() -> None:
    """A list of a million answers or an object of half a million keys takes no time to refuse."""
    began = time.perf_counter()
    refused('{"readings": [' + ",".join("1" * 1_000_000) + "]}")
    refused("{" + ",".join(f'"{n}": 1' for n in range(500_000)) + "}")
    refused(" " * 17_000_000)
    assert time.perf_counter() - began < 10


def test_an_empty_kit_is_said_when_readings_decide() -> None:
    """With readings of another kind an empty kit is allowed, and what it means is said."""
    job, assumed = read_job(
        json.dumps(
            {
                **ELECTRIC,
                "kit": {"leaves": [], "files": []},
                "readings": [{"string": 6, "clearance": "0.5 mm"}],
            }
        ),
        TRADE,
    )
    assert job.kit.leaves == ()
    assert [one.field for one in assumed if "has none" in one.why] == ["kit.leaves", "kit.files"]


def test_a_byte_order_mark_is_no_offence() -> None:
    """An editor's mark at the start is stepped over."""
    text = b"\xef\xbb\xbf" + json.dumps(ELECTRIC).encode()
    assert read_job(text, TRADE)[0].instrument.kind == "electric guitar"


def test_a_tall_slide_nut_may_stand_tall() -> None:
    """Eight millimetres are absurd over a slotted nut and right over a tall one."""
    reading = {"string": 6, "clearance": "8 mm"}
    assert "far from any" in str(refused({**ELECTRIC, "readings": [reading]}))
    tall = electric(nut={"type": "tall slide"}) | {"readings": [reading]}
    assert read_job(json.dumps(tall), TRADE)[0].instrument.nut.type is NutType.TALL_SLIDE


def test_checks_nobody_knows_are_kept() -> None:
    """A newer gate's answers survive, whatever their names."""
    checks = {"humidity": {"room": 45, "case": "dry"}, "mood": "good"}
    job, _ = read_job(json.dumps({**ELECTRIC, "checks": checks}), TRADE)
    assert job.checks == checks
