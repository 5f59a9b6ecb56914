import { app } from './app.ts';
import { calibrate } from './calibrate.ts';
import { compare } from './compare.ts';
import { job } from './job/index.ts';
import { knownGood } from './known-good.ts';
import { prove } from './prove.ts';
import { reading } from './reading.ts';
import { setUp } from './set-up.ts';
import { test } from './test.ts';
import { traces } from './traces.ts';

/** The words of the screens, a file or folder for each folder of `web/`, in it a group a file. Another language satisfies `typeof screens`. */
export const screens = { app, calibrate, compare, job, knownGood, prove, reading, setUp, test, traces };
