/** The part of the library that tests use; it ships no types of its own. */
declare module 'markdown-it' {
  export default class MarkdownIt {
    constructor(options?: { readonly html?: boolean; readonly linkify?: boolean });
    render(markdown: string): string;
  }
}
