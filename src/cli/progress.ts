import type { Progress } from '../daemon/store/files/progress.ts';
import type { CliIo } from './io.ts';

const BAR_CELLS = 30;

/** A bar on the terminal's stderr, redrawn at most once per percent; silent where stderr is not a terminal. */
export function progressBar(io: CliIo, label: string): { update: Progress; end: () => void } {
  let shown = -1;
  return {
    update(fraction) {
      const percent = Math.min(100, Math.max(0, Math.floor(fraction * 100)));
      if (!io.progress || percent === shown) return;
      shown = percent;
      const filled = Math.round((percent / 100) * BAR_CELLS);
      io.err(`\r${label} [${'#'.repeat(filled)}${'.'.repeat(BAR_CELLS - filled)}] ${String(percent).padStart(3)} %`);
    },
    end() {
      if (io.progress && shown >= 0) io.err('\n');
    },
  };
}
