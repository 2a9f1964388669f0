"""What `python -m logic` can be told to do, one module a command.

A command's module has `arguments(parser)`, which adds its options, and `run(options) -> int`, which
does the work, prints, and returns the exit code. To add one: write the module and its line here.
"""

COMMANDS = {
    "plan": "the calls for one job, slot by slot",
    "setup": "how a whole set-up stands: relief, action, the stages, what comes next",
    "cut": "what to do next in every slot that is to be lowered",
    "handover": "the record that goes with the instrument, as text or PDF",
    "layout": "slot positions and depths for a new nut, and a drawing at true size",
    "labels": "a sheet of labels for the instruments on record, each with a square code, as PDF",
    "simulate": "the cutting benchmark: ours beside plain habits",
    "pitch": "cents sharp along the neck, string by string",
    "checks": "the questions that come before cutting, and how a job answers them",
    "history": "check, export or import the history of this machine",
    "sync": "bring this machine's history in step with the hub of its bench",
    "hub": "where the devices of a bench meet, and its doors",
}
"""Every command and what it prints, in the order that help lists them."""
