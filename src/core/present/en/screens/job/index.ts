import { parts } from './job.ts';
import { list } from './list.ts';
import { readings } from './readings.ts';
import { story } from './story.ts';

/** What the screens of a job say: a file a folder of `web/job/`. */
export const job = { ...parts, list, readings, story };
