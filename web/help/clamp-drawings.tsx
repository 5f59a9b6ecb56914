import { language } from '../../src/core/present/language.ts';
import { Box, Cross, Ground, Jaws, Label, MotorCircuit, Tick, Wire } from './parts.tsx';

const words = language.help.labels;

/** The circuit of one motor, with the right place for the clamp and two wrong ones. */
export function ClampDrawing() {
  return (
    <>
      <MotorCircuit />
      <Wire path="M306 96 V124 H34 V88" />
      <Jaws x={306} y={34} />
      <Tick x={272} y={30} />
      <Label x={258} y={36} text={words.here} anchor="end" strong />
      <Wire path="M120 124 V100 H150" thin />
      <Label x={155} y={104} text={words.alternator} />
      <Jaws x={80} y={124} wrong />
      <Cross x={80} y={124} />
      <Label x={80} y={152} text={words.notHere} anchor="middle" />
      <Ground x={220} y={124} />
    </>
  );
}

/** The same clamp round one wire, and round supply and return wire together. */
export function OneWireDrawing() {
  return (
    <>
      <Wire path="M10 54 H150" arrow />
      <Wire path="M150 106 H10" arrow />
      <Jaws x={80} y={54} upright />
      <Label x={80} y={148} text={words.one} anchor="middle" strong large />
      <Tick x={124} y={143} />
      <line class="help-fold" x1={170} y1={10} x2={170} y2={160} />
      <Wire path="M190 66 H330" arrow />
      <Wire path="M330 84 H190" arrow />
      <Jaws x={260} y={75} upright wide wrong />
      <Label x={260} y={148} text={words.both} anchor="middle" strong large />
      <Cross x={304} y={143} />
    </>
  );
}

/** All that leaves the negative post goes through the jaws. */
export function BatteryCableDrawing() {
  return (
    <>
      <Box x={14} y={62} width={84} height={60} text={words.battery} />
      <Label x={28} y={56} text="+" strong large />
      <Label x={62} y={56} text="−" strong large />
      <Wire path="M86 62 V34 H320" thick />
      <Wire path="M92 62 V46 H320" thin />
      <Label x={330} y={74} text={words.vehicle} anchor="end" />
      <Jaws x={150} y={40} upright wide />
      <Tick x={176} y={14} />
      <Label x={150} y={86} text={words.here} anchor="middle" strong />
      <Jaws x={234} y={34} upright wrong small />
      <Cross x={234} y={12} />
      <Label x={234} y={86} text={words.notHere} anchor="middle" />
      <Ground x={320} y={40} />
    </>
  );
}
