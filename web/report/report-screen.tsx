import { hrefOf } from '../app/route.ts';

/** The page that proves the repair. */
export function ReportScreen() {
  return (
    <section class="plate sheet">
      <h1>Prove</h1>
      <p>A page to print and hand over, made from the traces of a job:</p>
      <pre><code>amptrail report TRACE --out report.html</code></pre>
      <p><a href={hrefOf('traces')}>Look for the trace</a></p>
    </section>
  );
}
