/** Text of a contract inside a C comment: nothing in it can end the comment, begin another, or reorder what is read. */
export function commentText(text: string): string {
  return text
    .replace(/[\p{Cc}\u2028-\u202e\u2066-\u2069]/gu, ' ')
    .replaceAll('*/', '* /')
    .replaceAll('/*', '/ *')
    .replaceAll('??/', '?? /');
}

/** The sentences as one C comment, over as many lines as it takes, each at most 118 columns wide. */
export function blockComment(sentences: readonly string[]): string[] {
  const lines = sentences.flatMap((sentence) => wrap(commentText(sentence), 114));
  const [first = '', ...rest] = lines;
  if (rest.length === 0) return [`/* ${first} */`];
  return [`/* ${first}`, ...rest.slice(0, -1).map((line) => `   ${line}`), `   ${rest.at(-1) ?? ''} */`];
}

/** Words of a text in lines of at most `width` characters; a longer word has a line of its own. */
export function wrap(text: string, width: number): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ')) {
    if (line !== '' && line.length + 1 + word.length > width) {
      lines.push(line);
      line = word;
    } else line = line === '' ? word : `${line} ${word}`;
  }
  lines.push(line);
  return lines;
}
