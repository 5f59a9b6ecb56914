type Said = { readonly code: string };

/** One sentence a code: a code without one does not compile. */
export type SentencesOf<Code extends Said> = { readonly [C in Code['code']]: (said: Extract<Code, { readonly code: C }>) => string };

/** The sentence for what was said. */
export function sentence<Code extends Said>(sentences: SentencesOf<Code>, said: Code): string {
  // the compiler cannot see that a code picks the function of its own variant
  const say = sentences[said.code as Code['code']] as (one: Code) => string;
  return say(said);
}
