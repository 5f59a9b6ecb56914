import { WALK_POINTS, type Walk, type WalkPoint } from '../../../src/core/analysis/readings/drop-walk.ts';
import { decimal, language } from '../../../src/core/present/language.ts';
import { useWidth } from '../../compare/use-width.ts';

const words = language.screens.job.readings.walkLine;

const HEIGHT = 250;
/** Room round the line, px: names are below it. */
const ROOM = { top: 34, bottom: 74, side: 46 } as const;
/** Room a point's name needs, px: below it the names stand upright. */
const NAME_PX = 92;

/** The circuit as one line: each point at its volts, each step down a loss, the one that loses too much drawn heavy and named. */
export function WalkLine({ walk, volts }: { walk: Walk; volts: Readonly<Partial<Record<WalkPoint, number>>> }) {
  const { host, widthPx: width } = useWidth<HTMLDivElement>();
  const known: Readonly<Partial<Record<WalkPoint, number>>> = { ...volts, 'battery-minus': 0 };
  const points = WALK_POINTS.filter((point) => known[point] !== undefined);
  const most = Math.max(1, ...points.map((point) => known[point] ?? 0));
  const x = (index: number): number => ROOM.side + (index / Math.max(1, points.length - 1)) * (width - 2 * ROOM.side);
  const y = (v: number): number => ROOM.top + (1 - Math.max(0, v) / most) * (HEIGHT - ROOM.top - ROOM.bottom);
  const upright = (width - 2 * ROOM.side) / Math.max(1, points.length - 1) < NAME_PX;
  const described = walk.sections.map(({ from, to, lossV }) => words.toV(language.reason.pointNames[from], language.reason.pointNames[to], decimal(lossV, 2))).join(', ');
  return (
    <div ref={host}>
      {width > 80 && (
        <svg class="walk-line" width={width} height={HEIGHT} role="img" aria-label={words.lossesAlongTheCircuit(described)}>
          <line class="walk-zero" x1={ROOM.side / 2} x2={width - ROOM.side / 2} y1={y(0)} y2={y(0)} />
          {walk.sections.map((section, index) => {
            const startY = y(known[section.from] ?? 0);
            const endY = y(known[section.to] ?? 0);
            const middle = (x(index) + x(index + 1)) / 2;
            return (
              <g key={section.from} class={`walk-${section.state}`}>
                <polyline points={`${x(index)},${startY} ${middle},${startY} ${middle},${endY} ${x(index + 1)},${endY}`} />
                {section.state === 'loses' && <text x={middle} y={Math.min(endY + 24, HEIGHT - ROOM.bottom - 4)} text-anchor="middle">{`\u2212${decimal(section.lossV, 2)} V`}</text>}
              </g>
            );
          })}
          {points.map((point, index) => (
            <g key={point} class="walk-point">
              <circle cx={x(index)} cy={y(known[point] ?? 0)} r={5} />
              <text x={x(index)} y={y(known[point] ?? 0) - 11} text-anchor="middle">{decimal(known[point] ?? 0, 1)}</text>
              <text class="walk-name" x={x(index)} y={HEIGHT - ROOM.bottom + 22} text-anchor={upright ? 'end' : 'middle'} transform={upright ? `rotate(-38 ${x(index)} ${HEIGHT - ROOM.bottom + 22})` : undefined}>{language.reason.pointNames[point]}</text>
            </g>
          ))}
        </svg>
      )}
    </div>
  );
}
