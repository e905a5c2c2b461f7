"""Good and bad pieces of command lines, for whoever puts them together at random."""

from __future__ import annotations

from jamcalc.cli.command_table import COMMANDS

LINES = [
    "3 lb plums", "1 1/2 lb frozen raspberries", "4 cups mashed strawberries", "1/2 cup honey", "1/4 cup bottled lemon juice",
    "2 tsp calcium-set pectin", "1/2 cup water", "1 lb pumpkin", "1 mg plums", "100 kg plums", "1 packet liquid pectin",
    "3 cups apple juice",
]  # fmt: skip
BAD_LINES = [
    "", " ", "-2 lb plums", "1e400 g plums", "4 cups strawberries", "3 lb plumbs", "NaN lb", "2,5 kg plums", "\x1b[31m", "[red]3 lb[/red]",
    "\udcff", "3", "lb", "-", "--",
]  # fmt: skip
VALUES = [
    "honey", "stevia blend", "none", "4300 ft", "-500ft", "12000 ft", "3 parsecs", "pint", "quart", "bucket", "8 half-pints", "half-pints",
    "2", "1/2", "-1", "nan", "1e9", "medium", "cold", "us", "metric", "plum pH 3.4 TA 1.2", "batch pH 3.9", "batch pH 15", "2:1", "1/4 in",
    "runny", "2026-07-14", "lid", "a4", "plum.toml", "no/such/folder.txt", "plum.exe", "", "\0", "\x1b[0m", "raspberry-blueberry",
    "altitude=4300 ft", "altitude=up", "=", "5 lb", "plum", "cherries",
]  # fmt: skip
OPTIONS = sorted({name for command in COMMANDS.values() for option in command.options for name in (option.name, option.short) if name})
BAD_OPTIONS = ["--jso", "--frob", "-x", "--=", "---", "--sweet", "--help"]

LIKELY = {"LINE...": LINES, "RECIPE": ["raspberry-blueberry", "peach-sucralose", "-"], "[ITEM]": ["plum", "honey", "pint"],
          "[SETTING=VALUE]...": ["altitude=4300 ft", "lids=24"]}  # fmt: skip
