import type { Link, Linked } from '../../../texts/linked.ts';

/** What the list of jobs says, by file. */
export const list = {
  importJob: {
    jobAsAZipFile: 'Job as a zip file',
    importing: 'Importing',
    importAJobZip: 'Import a job (zip)',
  },
  jobList: {
    open: 'Open',
    closed: 'Closed',
    archived: 'Archived',
    all: 'All',
    jobs: 'Jobs',
    noJobYet: <Part>(test: Link<Part>): Linked<Part> => ['No job yet. Write the first one down here, or go straight to ', test('Test'), ': a trace can be added to a job later.'],
    find: 'Find',
    plateVehicleAnyWord: 'plate, vehicle, any word',
    whichJobs: 'Which jobs',
    noJobHereHas: 'No job here has all of these words.',
    of: (shown: number, all: number) => `${shown} of ${all}`,
    theNewestAreListed: (mostRows: number) => `The ${mostRows} newest are listed. Add a word to narrow the search.`,
    oneTrace: '1 trace',
    traces: (traces: number) => `${traces} traces`,
    recordingsGoHere: 'recordings go here',
    unnamedVehicle: 'Unnamed vehicle',
    noComplaintWritten: 'no complaint written',
  },
  removedJobs: {
    wasRemoved: (name: string) => `${name} was removed.`,
    undo: 'Undo',
    removedJobs: 'Removed jobs',
    unnamedVehicle: 'Unnamed vehicle',
    oneTrace: '1 trace',
    traces: (traces: number) => `${traces} traces`,
    bringBack: (vehicle: string) => `Bring back ${vehicle}`,
    bringBackShort: 'Bring back',
  },
};
