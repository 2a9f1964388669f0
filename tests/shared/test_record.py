"""What every model of ours promises."""

import pytest
from pydantic import ValidationError

import shared.job
from shared.instrument import Nut
from shared.kit import Kit
from shared.record import Record
from shared.units import Length


def records(base: type[Record] = Record) -> set[type[Record]]:
    """Every kind of record there is."""
    found = set(base.__subclasses__())
    return found.union(*(records(one) for one in found)) if found else set()


def test_unknown_fields_survive() -> None:
    """An older app never strips what a newer one wrote."""
    nut = Nut.model_validate({"material": "horn", "polish": {"grit": 2000}})
    assert Nut.model_validate_json(nut.model_dump_json()) == nut
    assert nut.model_dump()["polish"] == {"grit": 2000}


def test_records_are_values() -> None:
    """A record cannot be changed behind anybody's back."""
    with pytest.raises(ValidationError, match="frozen"):
        Kit().name = "another"


@pytest.mark.parametrize("record", sorted(records(), key=lambda one: one.__name__))
def test_every_record_keeps_the_promise(record: type[Record]) -> None:
    """No model opts out of keeping unknown fields, being frozen, or refusing endless numbers."""
    assert issubclass(shared.job.Plan, Record)
    assert record.model_config["extra"] == "allow"
    assert record.model_config["frozen"]
    assert record.model_config["allow_inf_nan"] is False


def test_a_kit_knows_its_tools_by_size() -> None:
    """Sizes are written as they were given and read back exactly."""
    kit = Kit.model_validate({"leaves": ["18 thou", "0.46 mm"], "files": ['.046"']})
    assert kit.model_dump(mode="json")["leaves"] == ["18 thou", "0.46 mm"]
    assert Kit.model_validate_json(kit.model_dump_json()).files == (Length.parse("0.046 in"),)
