import { language } from '../../src/core/present/language.ts';
import { Box, Ground, Label, MotorCircuit, Wire } from './parts.tsx';

const words = language.help.labels;

/** Red on the motor's live pin, black on the battery's negative post. */
export function VoltageLeadDrawing() {
  return (
    <>
      <MotorCircuit />
      <Wire path="M306 96 V120" />
      <Wire path="M34 88 V120" />
      <Ground x={306} y={120} />
      <Ground x={34} y={120} />
      <path class="help-red" d="M306 40 H250 V86 H200" />
      <path class="help-black" d="M44 88 V112 H120 V86 H152" />
      <circle class="help-red-dot" cx={306} cy={40} r={5} />
      <circle class="help-black-dot" cx={44} cy={90} r={5} />
      <Box x={152} y={70} width={48} height={32} text="V" round />
      <Label x={246} y={62} text={words.red} anchor="end" strong />
      <Label x={124} y={128} text={words.black} strong />
    </>
  );
}

/** The shunt in the battery's cable, with the thick bridge round it. */
export function BypassDrawing() {
  return (
    <>
      <Box x={10} y={66} width={70} height={48} text={words.battery} />
      <Wire path="M80 90 H140" thick />
      <Wire path="M220 90 H330" thick />
      <Box x={140} y={76} width={80} height={28} text={words.shunt} />
      <path class="help-bypass" d="M106 90 V36 H158" />
      <path class="help-bypass" d="M158 36 L196 18" />
      <path class="help-bypass" d="M202 36 H252 V90" />
      <circle class="help-dot" cx={106} cy={90} r={5} />
      <circle class="help-dot" cx={252} cy={90} r={5} />
      <Label x={180} y={62} text={words.bypass} anchor="middle" strong />
      <Label x={330} y={120} text={words.vehicle} anchor="end" />
    </>
  );
}

/** The current after the key is off: steps down, then level. */
export function SleepDrawing() {
  return (
    <>
      <path class="help-axis" d="M24 14 V140 H330" />
      <path class="help-current" d="M24 30 H50 V62 H96 V88 H150 V118 H330" />
      <line class="help-mark" x1={50} y1={20} x2={50} y2={140} />
      <Label x={54} y={26} text={words.shut} />
      <Label x={102} y={80} text={words.steps} />
      <rect class="help-read" x={206} y={104} width={118} height={28} />
      <Label x={265} y={98} text={words.measure} anchor="middle" strong />
      <Label x={330} y={158} text="min" anchor="end" />
      <Label x={6} y={24} text="A" />
    </>
  );
}
