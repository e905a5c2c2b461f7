"""The commands: their options, their help, and what to say of a first word that is no command.

A table and nothing else; the reader is in options.
"""

from __future__ import annotations

from jamcalc.cli.options import STORED, TURNED_OUT, Command, Option, is_option, near_names, said
from jamcalc.words.lists import either

# What the options of a long help page stand under.
JARS, MEASURED, PRINTS, SHOW, FILES = "jars", "what you measured", "which print", "what is shown", "files and the batch book"

JSON = Option(name="--json", help="the whole answer as JSON, and nothing else", group=SHOW)
UNITS = Option(
    name="--units", value="us|metric", allowed=("us", "metric"), help="measures to print (default: us, or your kitchen's)", group=SHOW
)
WORKING = Option(name="--working", help="each step to each number, with its sources", group=SHOW)
FULL = Option(name="--full", help="the long answer: order of work, every caution", group=SHOW)
JAR = Option(name="--jar", value="JAR", example="half-pint", help="half-pint (default), pint ...; all: jamcalc facts", group=JARS)
ALTITUDE = Option(
    name="--altitude", value="HEIGHT", example='"4300 ft"', help='"4300 ft" or "1300 m": where the jars are processed', group=JARS
)
KITCHEN = Option(name="--kitchen", value="FILE", example="kitchen.toml", help="the kitchen file to use", group=FILES)
TITLE = Option(name="--title", value="TEXT", example='"Plum spread"', help="the name to print", group=SHOW)
SWEETENER = Option(name="--sweetener", value="NAME", example="honey", help="sized for a light sweetness; or write a line with your amount")
WANT = Option(name="--want", value="JARS", example='"8 half-pints"', help='"8 half-pints": the jars that you want to fill', group=JARS)
ON_HAND = Option(
    name="--on-hand", value="JARS", example='"11 half-pints"', many=True, help='"11 half-pints"; repeat it for each kind of jar', group=JARS
)
ACID = Option(name="--acid", value="NAME", example='"citric acid"', help='"citric acid" or "bottled lime juice" instead of lemon')
READING = Option(
    name="--reading", value="TEXT", example='"plum pH 3.4"', many=True, group=MEASURED,
    help='"plum pH 3.4 TA 1.2 Brix 12", any of the three, or "batch pH 3.9" of the cooled, finished batch; may be repeated',
)  # fmt: skip
BOOK = Option(name="--book", value="FILE", example="book.sqlite", help="the batch book to use", group=FILES)
NO_BOOK = Option(name="--no-book", help="leave the batch book alone: answer from the tables", group=FILES)
KEEP = (
    Option(name="--keep", help="write it into the batch book, and print its number", group=FILES),
    Option(name="--date", value="DATE", example="2026-07-14", help="with --keep: the day it is made (default: today)", group=FILES),
    BOOK,
    NO_BOOK,
)
SPOONS = (
    Option(
        name="--pectin-spoon", value="GRAMS", example="3.0", help="a level teaspoon of your pectin weighs (default: 3.0)", group=MEASURED
    ),
    Option(
        name="--calcium-spoon", value="MG", example="14.6", help="calcium in a teaspoon of calcium water (default: 14.6)", group=MEASURED
    ),
)
REPLACE = Option(name="--replace", help="write over a file that is there with other content", group=FILES)
SHOWN = (REPLACE, FULL, WORKING, JSON)


def _output(endings: str) -> Option:
    return Option(
        name="--output",
        short="-o",
        value="FILE",
        example="plum.toml",
        help=f"into a file too; its ending says what: {endings}",
        group=FILES,
    )


COMMANDS = {
    command.name: command
    for command in (
        Command(
            name="batch",
            function="commands.batch",
            about="From the fruit on hand to a formula: what to add, how many jars it fills, how it may be kept, and why.",
            words="LINE...",
            words_help='an ingredient line, such as "3 lb plums" or "1/2 cup honey"; each in quotes',
            least=1,
            most=None,
            sample='jamcalc batch "3 lb plums" --sweetener honey',
            options=(
                SWEETENER,
                Option(name="--set", value="FIRMNESS", allowed=("soft", "medium", "firm"), help="soft, medium (default) or firm"),
                JAR,
                WANT,
                ON_HAND,
                Option(name="--parts", value="A:B", example="2:1", help='with --want and names alone: 2:1 of "plums" "pears"', group=JARS),
                ALTITUDE,
                Option(
                    name="--store",
                    value="shelf|cold",
                    allowed=("shelf", "cold"),
                    alike=STORED,
                    help="what you hope for (default: the shelf where it may be)",
                ),
                Option(name="--boil", value="MIN", example="2", help="minutes at a full boil with everything in (default: 2)"),
                Option(name="--simmer", value="MIN", example="10", help="minutes of simmering before that (default: 0)"),
                Option(
                    name="--headspace", value="DEPTH", example='"1/4 in"', help='room left above the jam (default: "1/4 in")', group=JARS
                ),
                Option(
                    name="--sweetness",
                    value="PERCENT",
                    example="16",
                    help="grams of sugar, or its equal, to 100 g of fruit (default: 16)",
                ),
                ACID,
                READING,
                *SPOONS,
                TITLE,
                UNITS,
                KITCHEN,
                *KEEP,
                _output(".toml a recipe file, .json, .txt"),
                *SHOWN,
            ),
        ),
        Command(
            name="check",
            function="commands.check",
            about="A recipe exactly as written, and what the chemistry thinks of it; nothing is added.",
            words="RECIPE or LINE...",
            words_help="a recipe file or plain text, one that comes with jamcalc, a kept batch by number, - for standard input, or lines",
            least=1,
            most=None,
            sample="jamcalc check plum.toml",
            options=(
                Option(
                    name="--found",
                    value="HOW",
                    allowed=("runny", "weeping", "stiff", "grainy"),
                    alike=TURNED_OUT,
                    help="how a jar turned out: runny, weeping, stiff, grainy",
                ),
                JAR,
                ALTITUDE,
                READING,
                *SPOONS,
                UNITS,
                KITCHEN,
                BOOK,
                NO_BOOK,
                _output(".toml a recipe file, .json, .txt"),
                *SHOWN,
            ),
        ),
        Command(
            name="scale",
            function="commands.scale",
            about="A recipe up or down by one of --times, --fruit and --want. What was tested is kept; what cannot be scaled is said.",
            words="RECIPE",
            words_help="a recipe file, a recipe that comes with the program, the number of a kept batch, or - for standard input",
            least=1,
            most=1,
            sample="jamcalc scale strawberry-rhubarb --times 1.5",
            options=(
                Option(name="--times", value="FACTOR", example="1.5", help="1.5, 3, 1/2 ..."),
                Option(
                    name="--fruit",
                    value="AMOUNT",
                    example='"5 lb plums"',
                    many=True,
                    help='"5 lb" or "5 lb plums": the fruit you have; of several the scarcest decides',
                ),
                WANT,
                Option(
                    name="--sweetener", value="NAME", example="honey", help="another sweetener: the recipe becomes a calculated formula"
                ),
                JAR,
                ALTITUDE,
                *SPOONS,
                UNITS,
                TITLE,
                KITCHEN,
                *KEEP,
                _output(".toml a recipe file, .json, .txt"),
                *SHOWN,
            ),
        ),
        Command(
            name="compare",
            function="compare_command.compare",
            about="Two to four recipes or kept batches side by side, each as written: doses, acidity, set, jars, and what differs.",
            words="SOURCE SOURCE...",
            words_help="two to four of: a recipe file, a recipe that comes with the program, the number of a kept batch",
            least=2,
            most=None,
            sample="jamcalc compare strawberry-rhubarb plum.toml",
            options=(JAR, ALTITUDE, UNITS, KITCHEN, BOOK, _output(".json, .txt"), REPLACE, JSON),
        ),
        Command(
            name="process",
            function="lookups.process",
            about="Minutes in boiling water for low-sugar jam, by altitude and jar, and where water boils there.",
            sample='jamcalc process --altitude "4300 ft" --jar pint',
            options=(
                ALTITUDE,
                JAR,
                Option(
                    name="--own", value="MIN", example="25", help="the recipe's own minutes at 0-1,000 ft; they count where they are longer"
                ),
                UNITS,
                KITCHEN,
                JSON,
            ),
        ),
        Command(
            name="card",
            function="card_command.card",
            about="The card for a fair entry, a label for the jar, or a page for the kitchen wall. "
            "What is not known is left as a blank to fill in by hand.",
            words="RECIPE",
            words_help="a recipe file, a recipe that comes with the program, the number of a kept batch, or - for standard input",
            least=1,
            most=1,
            sample="jamcalc card plum.toml --date 2026-07-14 -o plum.html",
            options=(
                Option(name="--class", value="TEXT", example='"12 fruit spreads"', into="class_name", help="class, as in the fair book"),
                Option(name="--lot", value="TEXT", example="7", help="the lot number"),
                Option(name="--date", value="DATE", example="2026-07-14", help="the day it was processed, such as 2026-07-14"),
                Option(name="--name", value="TEXT", example='"A. Maker"', help='the exhibitor, or on a gift "from" whom; else left off'),
                Option(name="--method", value="TEXT", example='"steam canner"', help="the method (default: boiling-water canner)"),
                Option(name="--recipe", value="TEXT", example='"Extension leaflet 12, 2021"', help="the recipe and its source"),
                Option(
                    name="--kind",
                    value="KIND",
                    allowed=("card", "recipe", "front", "lid", "gift"),
                    help="card (default), recipe for its back, front for the jar, lid for its top, gift for a gift",
                    group=PRINTS,
                ),
                Option(name="--sheet", value="letter|a4", allowed=("letter", "a4"), help="a sheet of several with cut marks", group=PRINTS),
                Option(name="--kitchen-page", help="one page to hang up while cooking", group=PRINTS),
                Option(name="--nutrition", help="the nutrition panel, and what a US label may claim, below the card's text"),
                Option(name="--unrounded", help="the same with unrounded figures"),
                Option(name="--weight", help="the net weight too"),
                Option(name="--strict", help="exit code 1 where anything is left blank, and no file written"),
                TITLE,
                ALTITUDE,
                JAR,
                UNITS,
                KITCHEN,
                BOOK,
                _output(".html to print, .txt, .json"),
                REPLACE,
                JSON,
            ),
        ),
        Command(
            name="book",
            function="book_commands.book",
            about="The batches that were kept: the list, one in full, the jars on the shelf with their dates, a season; "
            "jars taken; the whole book out and in.",
            words="[N | take N COUNT]",
            words_help="the number of a batch; or take, its number, and how many jars were eaten or given",
            most=None,
            sample="jamcalc book take 7 2",
            options=(
                Option(name="--shelf", help="the jars that are left, with their dates; what is past its date on top"),
                Option(name="--season", value="YEAR", example="2026", help="a year in bars; -o FILE.html is a page to print"),
                Option(name="--all", help="every batch, not the last twenty"),
                Option(name="--full", help="with N: the answer too, as it was"),
                Option(name="--thrown", help="with take: the jars were discarded"),
                Option(name="--unsealed", help="with take: jars that did not seal"),
                Option(
                    name="--date",
                    value="DATE",
                    example="2026-07-14",
                    help="the day that jars were taken, or that the shelf is looked at (default: today)",
                ),
                Option(name="--export", value="FILE", example="book.jsonl", help="the whole book as .jsonl or .csv", group=FILES),
                Option(
                    name="--import",
                    value="FILE",
                    example="book.jsonl",
                    into="import_",
                    help="add the batches of such a file; they keep their numbers where free",
                    group=FILES,
                ),
                Option(name="--backup", value="FILE", example="copy.sqlite", help="copy the book, also while it is in use", group=FILES),
                REPLACE,
                Option(name="--sheet", value="letter|a4", allowed=("letter", "a4"), help="the paper of the page"),
                _output(".html a page to print, .txt; with --season"),
                BOOK,
                UNITS,
                KITCHEN,
                JSON,
            ),
        ),
        Command(
            name="finish",
            function="book_commands.finish",
            about="What came of a kept batch, as far as you know it. A correction is added, and nothing is overwritten. "
            "Without options it asks, at a terminal.",
            words="N",
            words_help="the number of a kept batch",
            least=1,
            most=1,
            sample='jamcalc finish 7 --jars "6 half-pints"',
            options=(
                Option(name="--jars", value="JARS", example='"6 half-pints"', many=True, help="jars filled; repeat it for each size"),
                Option(name="--over", value="VOLUME", example='"1/4 cup"', help="what did not fill a jar; 0 where nothing was over"),
                Option(name="--ph", value="PH", example="3.52", help="read with a calibrated meter in the cooled batch"),
                Option(name="--brix", value="PERCENT", example="22", help="soluble solids, read with a refractometer"),
                Option(name="--processed", value="MIN", example="10", help="minutes that the jars boiled"),
                Option(name="--unsealed", value="COUNT", example="1", many=True, help='jars that did not seal; "1 pint" names the size'),
                Option(
                    name="--found",
                    value="HOW",
                    allowed=("well", "runny", "weeping", "stiff", "grainy"),
                    alike=TURNED_OUT,
                    help="the set as judged next day: well, runny, weeping, stiff or grainy",
                ),
                Option(
                    name="--stored",
                    value="PLACE",
                    allowed=("pantry", "refrigerator", "freezer"),
                    alike=(("shelf", "pantry"), ("fridge", "refrigerator"), ("cold", "refrigerator"), ("frozen", "freezer")),
                    help="where the jars are: pantry, refrigerator or freezer",
                ),
                Option(name="--used", value="LINE", example='"3 lb plums"', many=True, help="an ingredient as it was really used"),
                Option(name="--boil", value="MIN", example="2", help="minutes that it really boiled with everything in"),
                Option(name="--date", value="DATE", example="2026-07-14", help="the day that it was made, where that is another"),
                Option(name="--note", value="TEXT", example='"a little sharp"', help="anything to remember"),
                BOOK,
                KITCHEN,
                JSON,
            ),
        ),
        Command(
            name="facts",
            function="facts_command.look_up",
            about="What is held about a fruit, sweetener, acid or jar, each figure with its source; without a name, the list.",
            words="[ITEM]",
            words_help='a name, such as plum, honey, "citric acid" or pint',
            most=None,
            sample="jamcalc facts plum",
            options=(JSON,),
        ),
        Command(
            name="kitchen",
            function="lookups.kitchen",
            about="What your kitchen has: altitude, pots, jars, canner, spoon weights, supplies, package sizes. "
            "Shows the kitchen file; with settings, changes it.",
            words="[SETTING=VALUE]...",
            words_help='such as altitude="4300 ft" or jars="11 half-pints, 5 pints"; SETTING= alone takes it out',
            most=None,
            sample='jamcalc kitchen altitude="4300 ft"',
            options=(KITCHEN, JSON),
        ),
        Command(
            name="recipes",
            function="lookups.recipes",
            about="The recipes that come with the program, and who stands behind each.",
            sample="jamcalc recipes",
            options=(JSON,),
        ),
    )
}


# First words for a job whose command is called otherwise, and what to write.
ELSEWHERE = {
    **dict.fromkeys(("label", "labels", "gift", "tag"), "jamcalc card strawberry-rhubarb --kind front -o label.html (or --kind lid, gift)"),
    **dict.fromkeys(("fair", "print", "page"), "jamcalc card strawberry-rhubarb -o card.html"),
    **dict.fromkeys(("fix", "runny", "set", "troubleshoot", "why"), "jamcalc check strawberry-rhubarb --found runny"),
    **dict.fromkeys(("buy", "shop", "shopping"), 'jamcalc batch plums --want "12 half-pints" --full'),
    **dict.fromkeys(("altitude", "boil", "minutes", "time"), 'jamcalc process --altitude "4300 ft"'),
    **dict.fromkeys(("pantry", "shelf"), "jamcalc book --shelf"),
    **dict.fromkeys(("jam", "make", "new", "start"), COMMANDS["batch"].sample),
}


def near_command(word: str) -> str:
    """What to say of a first word that is no command."""
    typed = said(word)
    if is_option(word):
        return f"no option {typed} before the command: write for instance {COMMANDS['batch'].sample} (see: jamcalc --help)"
    if word[:1].isdigit():
        return f'"{typed}" is no command: write jamcalc batch and then each line in quotes, such as {COMMANDS["batch"].sample}'
    if sample := next((ELSEWHERE[part] for part in word.lower().split() if part in ELSEWHERE), ""):
        return f'no command "{typed}": write for instance {sample}'
    near = near_names(word, COMMANDS)
    hint = f"did you mean {near[0]}?" if near else f"write {either(tuple(COMMANDS))} (see: jamcalc --help)"
    return f'no command "{typed}": {hint}'
