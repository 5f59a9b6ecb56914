/** Short help where it is needed, each with a drawing. */
const HELP_TOPICS = ['clamp', 'one-wire', 'voltage-lead', 'battery-cable', 'bypass', 'sleep'] as const;
export type HelpTopic = (typeof HELP_TOPICS)[number];

interface HelpText {
  readonly title: string;
  /** what the drawing shows, for those who cannot see it */
  readonly drawing: string;
  readonly lines: readonly string[];
}

export type HelpTexts = Readonly<Record<HelpTopic, HelpText>> & {
  /** words inside the drawings */
  readonly labels: Readonly<Record<'battery' | 'fuse' | 'switch' | 'motor' | 'ground' | 'here' | 'notHere' | 'harness' | 'one' | 'both' | 'red' | 'black' | 'clamp' | 'shunt' | 'bypass' | 'load' | 'alternator' | 'shut' | 'measure' | 'steps' | 'vehicle', string>>;
};
