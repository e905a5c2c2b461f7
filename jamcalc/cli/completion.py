"""Completion at the Tab key for bash and zsh, written from the table of commands: `jamcalc --completion bash`.

What it offers is in the script itself: nothing is run, and nothing imported, while somebody types. Bash Reference Manual,
"Programmable Completion"; zsh takes the same script through its own bashcompinit (zsh manual, "Completion System").
"""

from __future__ import annotations

from jamcalc.cli.command_table import COMMANDS
from jamcalc.errors import InputError
from jamcalc.words.lists import either

SHELLS = ("bash", "zsh")
ALONE = ("--help", "--version", "--completion")

SCRIPT = """\
# put this into your shell's start file: eval "$(jamcalc --completion {shell})"
{first}_jamcalc() {{
  local word="${{COMP_WORDS[COMP_CWORD]}}" before="${{COMP_WORDS[COMP_CWORD-1]}}" offered=""
  if [ "$COMP_CWORD" -eq 1 ]; then
    offered="{commands}"
  else
    case "${{COMP_WORDS[1]}} $before" in
{values}
      *)
        case "${{COMP_WORDS[1]}}" in
{options}
        esac ;;
    esac
  fi
  COMPREPLY=($(compgen -W "$offered" -- "$word"))
}}
complete -o default -F _jamcalc jamcalc
"""


def script(words: list[str]) -> str:
    """The script for the shell that is named. Raises InputError for anything but one known shell."""
    if len(words) != 1 or words[0] not in SHELLS:
        raise InputError(f"--completion needs the name of your shell: write jamcalc --completion {either(SHELLS)}")
    values, options = [], []
    for name, command in COMMANDS.items():
        options.append(f'          {name}) offered="{" ".join(option.name for option in command.options)} --help" ;;')
        values += [f'      "{name} {option.name}") offered="{" ".join(option.allowed)}" ;;' for option in command.options if option.allowed]
    first = "autoload -U +X bashcompinit && bashcompinit\n" if words[0] == "zsh" else ""
    return SCRIPT.format(
        shell=words[0], first=first, commands=" ".join((*COMMANDS, *ALONE)), values="\n".join(values), options="\n".join(options)
    )
