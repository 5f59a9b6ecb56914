import type { DeviceMade } from '../../src/core/wire/api.ts';
import { language } from '../../src/core/present/language.ts';

const words = language.together.tablets;

/** The address of a tablet that has just been let in, for its camera and in letters; shown this once. */
export function MadeCard({ made, done }: { made: DeviceMade; done: () => void }) {
  const [url = '', ...others] = made.urls;
  return (
    <section class="plate stack made" aria-label={words.open(made.device.name)}>
      <h2>{words.open(made.device.name)}</h2>
      <Code rows={(made.codes[0] ?? '').split('\n')} />
      <p><code class="made-url">{url}</code></p>
      <p class="fine">{words.once}</p>
      {others.length > 0 && <div class="fine"><p>{words.another}</p>{others.map((other) => <p key={other}><code class="made-url">{other}</code></p>)}</div>}
      <div class="form-end"><button type="button" class="button" onClick={done}>{words.done}</button></div>
    </section>
  );
}

/** Dark squares on white in either theme: cameras want it so (ISO/IEC 18004 has dark modules on a light ground). */
function Code({ rows }: { rows: readonly string[] }) {
  const size = rows.length;
  const path = rows.flatMap((row, y) => [...row].map((one, x) => (one === '#' ? `M${x} ${y}h1v1h-1z` : ''))).join('');
  return (
    <svg class="made-code" viewBox={`0 0 ${size} ${size}`} role="img" aria-label={words.scan} shape-rendering="crispEdges">
      <rect width={size} height={size} fill="#fff" />
      <path d={path} fill="#000" />
    </svg>
  );
}
