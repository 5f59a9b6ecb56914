import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Attack, Figure } from './attack.ts';
import { door } from './door.ts';
import { cuts, hostileFiles, kills } from './files.ts';
import { floods } from './flood.ts';
import { unplugs } from './unplug.ts';

export const ATTACKS: readonly Attack[] = [door, floods, unplugs, kills, cuts, hostileFiles];

/** Runs one in a folder of its own. */
export async function runAttack(attack: Attack, forMs: number, random: () => number): Promise<Figure[]> {
  const folder = mkdtempSync(join(tmpdir(), 'amptrail-attack-'));
  try {
    return await attack.run({ forMs, random, folder });
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
