"""The command line: the same decisions without a screen."""

from __future__ import annotations

import argparse
import os
import sys
from contextlib import suppress
from importlib import import_module
from types import ModuleType
from typing import NoReturn

from logic.cli import COMMANDS
from logic.cli.printing import figure_style_of, give_up_output, printed_output
from logic.languages import WRITTEN_IN, languages, load_language
from shared.bootstrap import ensure
from shared.errors import InputError, NutwrightError
from shared.words import mark, say, speaking

_ABOUT = """Decides, string by string, what to do with the slots of a nut.
Every command that takes a job reads a file, or standard input where the file is -."""
_EPILOG = """the smallest job:
  {"instrument": {"kind": "bass guitar"}, "readings": [{"string": 4, "clearance": "0.5 mm"}]}

exit codes:
  0  a result
  1  something went wrong that is no fault of the input, such as a full disc
  2  input that cannot be used; one line says which field, what was found and what would do
  130  stopped with Ctrl-C
Where the output is read no further, such as by `head`, that is a result too."""


_OUR_FAULT = mark("a fault of ours, not of your input: {fault} (NUTWRIGHT_TRACE=1 shows all)")


def main(words: list[str] | None = None) -> int:
    """Runs one command; the exit code says how it went."""
    words = sys.argv[1:] if words is None else words
    with speaking(load_language(_language(words))):
        if sys.stdout is None:
            return _say(say("standard output is closed"), 1)
        for stream in filter(None, (sys.stdout, sys.stderr)):
            # a terminal that has no ♯ gets an escape, not a crash
            stream.reconfigure(errors="backslashreplace")
        with printed_output():
            return _tried(words)


def _tried(words: list[str]) -> int:
    try:
        return _run(words)
    except InputError as error:
        return _say(f"{error.what}; {error.ask}", 2)
    except NutwrightError as error:
        return _say(str(error), 1)
    except BrokenPipeError:
        give_up_output()  # whoever read it has seen enough
        return 0
    except KeyboardInterrupt:
        return 130
    except Exception as error:
        if os.environ.get("NUTWRIGHT_TRACE"):
            raise
        fault = f"{type(error).__name__}: {error}"
        return _say(say(_OUR_FAULT, fault=fault), 1)


def _language(words: list[str]) -> str:
    """The language asked for, needed before anything is said; the first parser to look is this."""
    early = argparse.ArgumentParser(add_help=False, allow_abbrev=False, exit_on_error=False)
    early.add_argument("--language", nargs="?")
    asked = str(early.parse_known_args(words)[0].language)
    return asked if asked in languages() else WRITTEN_IN


def _run(words: list[str]) -> int:
    name = next((word for word in words if word in COMMANDS), "")
    command = import_module(f"logic.cli.{name}") if name else None
    try:
        options = _parser(name, command).parse_args(words)
        with speaking(style=figure_style_of(options)):
            return int(command.run(options)) if command else 2
    finally:  # also where help was printed
        sys.stdout.flush()


def _say(line: str, code: int) -> int:
    if sys.stderr is not None:
        with suppress(OSError):  # where it is full, the exit code says it too
            print(f"nutwright: {' '.join(line.split())}", file=sys.stderr)
    return code


class _Parser(argparse.ArgumentParser):
    """Complains in one line, as every other complaint of ours does."""

    def error(self, message: str) -> NoReturn:
        self.exit(_say(f"{message}; see {self.prog} --help", 2))


def _parser(chosen: str, command: ModuleType | None) -> argparse.ArgumentParser:
    """All commands for help's sake, with the arguments of the one that was chosen."""
    parser = _Parser(
        prog="python -m logic",
        description=_ABOUT,
        epilog=_EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    subparsers = parser.add_subparsers(metavar="COMMAND", required=True, title="commands")
    for name, about in COMMANDS.items():
        detail = (command.__doc__ or "").strip() if command and name == chosen else about
        sub = subparsers.add_parser(
            name,
            help=about,
            description=detail,
            formatter_class=argparse.RawDescriptionHelpFormatter,
            allow_abbrev=False,
        )
        if command and name == chosen:
            command.arguments(sub)
            sub.add_argument(
                "--language",
                choices=tuple(languages()),
                default=WRITTEN_IN,
                help="the language of what is printed (en); files keep their format in any",
            )
    return parser


if __name__ == "__main__":
    ensure(*(("hub",) if sys.argv[1:2] == ["hub"] else ()))
    sys.exit(main())
