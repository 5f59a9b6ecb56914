import { hrefOf } from '../app/route.ts';

/** Two traces laid on the same switch edge. */
export function CompareScreen() {
  return (
    <section class="plate sheet">
      <h1>Compare</h1>
      <p>Record one trace before the repair and one after, then lay them on each other from the terminal:</p>
      <pre><code>amptrail compare BEFORE AFTER --test actuation</code></pre>
      <p><a href={hrefOf('traces')}>Look for the two traces</a></p>
    </section>
  );
}
