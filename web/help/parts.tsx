import { language } from '../../src/core/present/language.ts';

const words = language.help.labels;

/** The pieces that the drawings are made of: 340 by 170 units, ink only, so that light, dark and print all show them. */

export function Box({ x, y, width, height, text, round = false }: { x: number; y: number; width: number; height: number; text: string; round?: boolean }) {
  return (
    <>
      <rect class="help-box" x={x} y={y} width={width} height={height} rx={round ? Math.min(width, height) / 2 : 3} />
      <text x={x + width / 2} y={y + height / 2 + 4} text-anchor="middle">{text}</text>
    </>
  );
}

export function Wire({ path, thin = false, thick = false, arrow = false }: { path: string; thin?: boolean; thick?: boolean; arrow?: boolean }) {
  return (
    <>
      <path class={`help-wire ${thin ? 'help-thin' : ''} ${thick ? 'help-thick' : ''}`} d={path} />
      {arrow && <ArrowAt path={path} />}
    </>
  );
}

/** A head in the middle of a level stretch `M x y H x2`. */
function ArrowAt({ path }: { path: string }) {
  const [, fromX = '0', y = '0', toX = '0'] = /M(\d+) (\d+) H(\d+)/.exec(path) ?? [];
  const right = Number(toX) > Number(fromX);
  const tip = Number(fromX) + (Number(toX) - Number(fromX)) * 0.86;
  const back = right ? -9 : 9;
  return <path class="help-head" d={`M${tip} ${y} l${back} -6 v12 z`} />;
}

/** The clamp seen along its wire (upright: the wire runs level through it). */
export function Jaws({ x, y, upright = false, wide = false, small = false, wrong = false }: { x: number; y: number; upright?: boolean; wide?: boolean; small?: boolean; wrong?: boolean }) {
  const across = small ? 9 : wide ? 26 : 17;
  const along = 11;
  return <ellipse class={wrong ? 'help-jaws help-wrong' : 'help-jaws'} cx={x} cy={y} rx={upright ? along : across} ry={upright ? across : along} />;
}

export function Tick({ x, y }: { x: number; y: number }) {
  return <path class="help-tick" d={`M${x - 8} ${y} l6 7 l10 -14`} />;
}

export function Cross({ x, y }: { x: number; y: number }) {
  return <path class="help-cross" d={`M${x - 8} ${y - 8} l16 16 m0 -16 l-16 16`} />;
}

export function Ground({ x, y }: { x: number; y: number }) {
  return <path class="help-wire" d={`M${x} ${y} v8 m-12 0 h24 m-19 6 h14 m-10 6 h6`} />;
}

export function Label({ x, y, text, anchor = 'start', strong = false, large = false }: { x: number; y: number; text: string; anchor?: 'start' | 'middle' | 'end'; strong?: boolean; large?: boolean }) {
  return <text class={`${strong ? 'help-strong' : ''} ${large ? 'help-large' : ''}`} x={x} y={y} text-anchor={anchor}>{text}</text>;
}

/** Battery, fuse, switch and motor, joined along the top; each drawing adds its own return. */
export function MotorCircuit() {
  return (
    <>
      <Wire path="M34 52 V20 H306 V48" />
      <Box x={8} y={52} width={52} height={36} text={words.battery} />
      <Box x={84} y={8} width={44} height={24} text={words.fuse} />
      <Box x={150} y={8} width={52} height={24} text={words.switch} />
      <Box x={278} y={48} width={56} height={48} text={words.motor} round />
    </>
  );
}
