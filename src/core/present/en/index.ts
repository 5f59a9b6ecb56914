import type { Words } from '../words.ts';
import { calibration } from './calibration.ts';
import { cautions } from './cautions.ts';
import { caseFile } from './refusals/case-file.ts';
import { checks } from './reasoning/checks.ts';
import { compare } from './compare.ts';
import { customer } from './customer.ts';
import { formats } from './formats.ts';
import { figures } from './figures.ts';
import { files } from './refusals/files.ts';
import { findings, judgedByItself, judgedByItsFall, unjudged } from './findings.ts';
import { fuseList } from './refusals/fuse-list.ts';
import { help } from './help.ts';
import { knownGoodFile } from './refusals/known-good-file.ts';
import { library } from './library.ts';
import { linePicture } from './line-picture.ts';
import { fuses } from './fuses.ts';
import { pages } from './pages.ts';
import { press } from './motor/press.ts';
import { reason } from './reasoning/reason.ts';
import { listAnd, listOr, locale, numbers, range } from './locale.ts';
import { motor } from './motor/motor.ts';
import { names } from './names.ts';
import { night } from './night.ts';
import { cli } from './cli/index.ts';
import { daemon } from './daemon/index.ts';
import { report } from './report.ts';
import { screens } from './screens/index.ts';
import { together } from './together.ts';

/** English. Another language is another folder like this one: the compiler asks for every sentence. */
export const en: Words = {
  locale,
  numbers,
  range,
  listAnd,
  listOr,
  findings,
  unjudged,
  judgedByItself,
  judgedByItsFall,
  fuses,
  reason,
  screens,
  figures,
  report,
  files,
  caseFile,
  fuseList,
  knownGoodFile,
  linePicture,
  cli,
  daemon,
  calibration,
  cautions,
  checks,
  compare,
  customer,
  formats,
  help,
  library,
  motor,
  names,
  night,
  pages,
  press,
  together,
};
