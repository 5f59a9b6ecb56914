import { readdir, readFile, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { Command } from 'commander';
import { jobAnswer, type JobAnswer } from '../../core/present/wording/job-words.ts';
import { dataOption, jsonOption, printResult, type DataFlag, type JsonFlag } from '../result-output.ts';
import { language } from '../../core/present/language.ts';
import { caseFileOf } from '../../core/reason/case.ts';
import { reasonJob } from '../../core/reason/job-case.ts';
import { readEvidence } from '../../core/reason/job-evidence.ts';
import { nextStep } from '../../core/reason/next.ts';
import { readCase } from '../../core/reason/read-case.ts';
import { MOMENTS, POINTS, SIGNS } from '../../core/reason/types.ts';
import { whatIsLeft } from '../../core/reason/weigh.ts';
import { readJobTraces, type TraceFolder } from '../../daemon/prove/job-traces.ts';
import { isSafeName } from '../../daemon/store/files/names.ts';
import { JOB_FILE, readTraceRecord, RECORD_FILE } from '../../daemon/store/files/record-file.ts';
import { defaultDataFolder } from '../../daemon/store/data-folder.ts';
import { analyseFile } from '../analyse-file.ts';
import { InputError, type CliIo } from '../io.ts';
import { bullet } from '../table.ts';

const words = language.cli.commands.next;

const FILE_HELP = words.aJsonFileHolds(SIGNS.join(', '), POINTS.join(', '), MOMENTS.join(', '));

/** A case with a dozen analyses is a few hundred kilobytes. */
const MAX_BYTES = 64 << 20;

export function nextCommand(io: CliIo): Command {
  return new Command('next')
    .description(words.whatIsLeftOf)
    .argument('<job>', words.aJobFolderThe)
    .addOption(dataOption())
    .addOption(jsonOption())
    .addHelpText('after', words.example(FILE_HELP))
    .action(async (name: string, flags: JsonFlag & DataFlag) => {
      const path = await placeOf(name, flags.data ?? defaultDataFolder());
      const answer = (await stat(path)).isDirectory() ? await answerOfJob(path, io) : await answerOfFile(path);
      printResult(io, flags, answer, () => inWords(answer));
    });
}

/** As given, or as a job of the data folder. */
async function placeOf(name: string, dataFolder: string): Promise<string> {
  for (const path of [name, join(dataFolder, 'jobs', name)]) {
    if (await stat(path).then(() => true, () => false)) return path;
  }
  throw new InputError(words.isNeitherAFile(name, dataFolder));
}

async function answerOfFile(path: string): Promise<JobAnswer> {
  const bytes = await readFile(path).catch((error: NodeJS.ErrnoException) => {
    throw new InputError(words.cannotBeRead(path, error.code ?? 'error'));
  });
  if (bytes.length > MAX_BYTES) throw new InputError(words.isLargerThan64(path));
  const read = readCase(jsonOf(bytes.toString('utf8'), path));
  if (!read.ok) throw new InputError(`${path}: ${read.error}`);
  const left = whatIsLeft(caseFileOf(read.case));
  return jobAnswer({ test: read.case.test, left, next: nextStep(read.case, left), proof: null, leftOut: read.leftOut }, null);
}

async function answerOfJob(folder: string, io: CliIo): Promise<JobAnswer> {
  const path = join(folder, JOB_FILE);
  const text = await readFile(path, 'utf8').catch((error: NodeJS.ErrnoException) => {
    throw new InputError(words.cannotBeReadThis(path, error.code ?? 'error'));
  });
  const value = jsonOf(text, path);
  if (typeof value !== 'object' || value === null || Array.isArray(value)) throw new InputError(words.isNoJob(path));
  const { evidence, wrong } = readEvidence(value as Record<string, unknown>);
  if (wrong[0] !== undefined) throw new InputError(`${path}: ${wrong[0]}`);
  const { traces, unread } = await readJobTraces(await traceFolders(folder), ({ path: place, record }) => analyseFile(place, { io, read: {}, test: record.test! }));
  for (const { name, why } of unread) io.err(words.leftOut(name, why));
  const reasoning = reasonJob(evidence, traces);
  if (typeof reasoning === 'string') throw new InputError(`${path}: ${reasoning}`);
  return jobAnswer(reasoning, evidence.repair);
}

async function traceFolders(folder: string): Promise<TraceFolder[]> {
  const found: TraceFolder[] = [];
  for (const entry of await readdir(folder, { withFileTypes: true })) {
    if (!entry.isDirectory() || !isSafeName(entry.name)) continue;
    const path = join(folder, entry.name);
    found.push({ path, record: (await readTraceRecord(join(path, RECORD_FILE), entry.name)).record });
  }
  return found;
}

function jsonOf(text: string, path: string): unknown {
  try {
    return JSON.parse(text.replace(/^\uFEFF/, ''));
  } catch (error) {
    throw new InputError(words.isNotJson(path, error instanceof Error ? error.message : String(error)));
  }
}

function inWords({ causes, contradiction, next, proof, problems }: JobAnswer): string {
  const lines: string[] = proof === null ? [] : [`${proof.text}\n`];
  for (const { cause, state, because } of causes) lines.push(`${language.reason.causes[cause]}: ${language.reason.states[state]}\n`, ...because.map((text) => bullet(text)));
  if (contradiction !== null) lines.push(words.theseTwoCannotBothHold, ...contradiction.map((text) => bullet(text)));
  lines.push('\n', ...(next === null ? [`${language.reason.noNext(causes[0]?.state === 'open' ? language.reason.causes[causes[0].cause].toLowerCase() : null)}\n`] : [words.next(next.check), bullet(next.where), ...next.decides.map(({ result, leaves }) => bullet(words.leaves(result, leaves.map((cause) => language.reason.causes[cause].toLowerCase()).join(', '))))]));
  lines.push(...problems.map(({ text }) => language.cli.results.presentVerdict.note(text)));
  return lines.join('');
}
