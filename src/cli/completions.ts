import type { Command, ValueKind } from './command.ts';

/**
 * A completion script for a shell, from the command declarations: command names, options, and the words an option or
 * argument may take; file names elsewhere.
 */
export function completionScript(shell: 'bash' | 'zsh' | 'fish', commands: readonly Command[]): string {
  switch (shell) {
    case 'bash':
      return bash(commands);
    case 'zsh':
      // zsh runs bash completions through its own bridge.
      return `autoload -Uz bashcompinit && bashcompinit\n${bash(commands)}`;
    case 'fish':
      return fish(commands);
  }
}

const words = (kind: ValueKind | undefined): readonly string[] | undefined =>
  typeof kind === 'object' ? kind.oneOf : undefined;

function bash(commands: readonly Command[]): string {
  const optionWords = commands
    .map(
      ({ name, options }) =>
        `    ${name}) options="${['help', ...options.map((o) => o.name)].map((o) => `--${o}`).join(' ')}" ;;`,
    )
    .join('\n');
  const valueWords = commands
    .flatMap(({ name, options }) =>
      options.flatMap((option) => {
        const list = words(option.value?.kind);
        return list === undefined ? [] : [`    "${name} --${option.name}") values="${list.join(' ')}" ;;`];
      }),
    )
    .join('\n');
  const argumentWords = commands
    .flatMap(({ name, arguments: args }) => {
      if (name === 'help') return [`    help) values="${commands.map((c) => c.name).join(' ')}" ;;`];
      const list = words(args[0]?.kind);
      return list === undefined ? [] : [`    ${name}) values="${list.join(' ')}" ;;`];
    })
    .join('\n');
  return `# gattwright completions for bash
_gattwright() {
  local word="\${COMP_WORDS[COMP_CWORD]}" before="\${COMP_WORDS[COMP_CWORD-1]}" command="\${COMP_WORDS[1]}"
  local options="" values=""
  COMPREPLY=()
  if [ "$COMP_CWORD" -eq 1 ]; then
    COMPREPLY=($(compgen -W "${commands.map(({ name }) => name).join(' ')}" -- "$word"))
    return
  fi
  case "$command $before" in
${valueWords}
    *) ;;
  esac
  if [ -n "$values" ]; then
    COMPREPLY=($(compgen -W "$values" -- "$word"))
    return
  fi
  case "$command" in
${optionWords}
    *) ;;
  esac
  case "$word" in
    -*) COMPREPLY=($(compgen -W "$options" -- "$word")); return ;;
    *) ;;
  esac
  case "$command" in
${argumentWords}
    *) ;;
  esac
  if [ -n "$values" ]; then
    COMPREPLY=($(compgen -W "$values" -- "$word"))
  else
    COMPREPLY=($(compgen -f -- "$word"))
  fi
}
complete -o filenames -F _gattwright gattwright
`;
}

function fish(commands: readonly Command[]): string {
  const quote = (text: string): string => `'${text.replace(/[\\']/g, '\\$&')}'`;
  const lines = ['# gattwright completions for fish'];
  for (const command of commands) {
    lines.push(`complete -c gattwright -n __fish_use_subcommand -f -a ${command.name} -d ${quote(command.summary)}`);
    const seen = `-n '__fish_seen_subcommand_from ${command.name}'`;
    for (const { name, about, value } of command.options) {
      const list = words(value?.kind);
      const argument = value === undefined ? '' : list === undefined ? ' -r' : ` -x -a ${quote(list.join(' '))}`;
      lines.push(`complete -c gattwright ${seen} -l ${name}${argument} -d ${quote(about)}`);
    }
    const list = command.name === 'help' ? commands.map((c) => c.name) : words(command.arguments[0]?.kind);
    if (list !== undefined) lines.push(`complete -c gattwright ${seen} -f -a ${quote(list.join(' '))}`);
  }
  return `${lines.join('\n')}\n`;
}
