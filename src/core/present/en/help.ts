import type { HelpTexts } from '../texts/help-texts.ts';

export const help: HelpTexts = {
  clamp: {
    title: 'Where to clamp, and where not',
    drawing: 'A circuit from the battery through fuse and switch to the motor and back to ground. The clamp is ticked on the single wire at the motor, and crossed out on the harness and on the ground strap that other loads share.',
    lines: ['Round one wire of the motor itself: then it reads this motor and nothing else.', 'Not round the harness, and not on a feed or ground that other things share: their current is read as well.', 'Jaws fully closed, wire in the middle, away from other thick cables. Set zero before the wire is in.'],
  },
  'one-wire': {
    title: 'One wire, not two',
    drawing: 'Left, the clamp round one wire reads 5.2 amperes. Right, the clamp round both the supply and the return wire reads nothing.',
    lines: ['Supply and return current cancel inside the jaws: round both wires the clamp reads zero, however hard the motor works.', 'Open the sheath of a two-core cable so that you can clamp one core alone.'],
  },
  'voltage-lead': {
    title: 'Where the voltage lead sits, and why',
    drawing: "The red lead is back-probed on the motor's plus at its connector, the black lead on the battery's negative post.",
    lines: ["Red on the motor's live pin, back-probed with the connector plugged in. Black on the battery's negative post, and it stays there.", 'That way the trace separates the motor from its feed: volts and no current is the motor or its ground; no volts is the fuse, the switch or the wire.', "On a motor that turns both ways the live pin changes: take the pin that is live in the direction of the complaint."],
  },
  'battery-cable': {
    title: 'Where to clamp a parked vehicle',
    drawing: "The clamp sits round the whole negative cable next to the battery post, so that everything in the vehicle flows through it. A second thin wire on the same post is crossed out.",
    lines: ['Round everything that leaves one battery post, next to the post: then nothing can flow past it.', 'Include the thin wires on the same post. With two batteries, measure one after the other.', 'Tens of milliamps need a shunt or a clamp made for milliamps, zeroed in place and not moved since.'],
  },
  bypass: {
    title: 'What the bypass is',
    drawing: 'The shunt sits between the battery post and its cable. A thick cable with a switch bridges it: closed while the vehicle is awake, open once it sleeps.',
    lines: ['A thick cable that bridges the shunt. Closed, the current goes past the shunt; open, through it.', 'Closed before a door is opened, the key is turned or a fuse is pulled: tens of amperes would burn the shunt or blow its fuse, and the modules would lose their supply.', 'Opened when all is shut, so that the supply is never broken and nothing forgets or wakes.'],
  },
  sleep: {
    title: 'Why wait for sleep',
    drawing: 'The current of a parked vehicle steps down as one module after the other goes to sleep; only the last, level part is the drain.',
    lines: ['Modules stay awake after key-off, some for minutes; the longest published time is 75 minutes. Until the last one sleeps, the current is theirs, not the fault\u2019s.', 'A door, the key nearby or a scan tool wakes them again, and the wait starts again.', 'Enter the maker\u2019s time to settle if you have it: the test then need not wait for the longest.'],
  },
  labels: {
    battery: 'battery', fuse: 'fuse', switch: 'switch', motor: 'motor', ground: 'ground', here: 'here', notHere: 'not here', harness: 'harness', one: '5.2 A', both: '0.0 A', red: 'red', black: 'black', clamp: 'clamp', shunt: 'shunt', bypass: 'bypass',
    load: 'vehicle', alternator: 'other loads', shut: 'key off', measure: 'read here', steps: 'modules go to sleep', vehicle: 'to the vehicle',
  },
};
