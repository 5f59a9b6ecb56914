import { plain } from '../locale.ts';

/** What the daemon says of a running test, of recording and of work in other threads, by file. */
export const running = {
  analysis: {
    theLiveAnalysis: 'The live analysis',
    theLiveAnalysisStopped: (text: string) => `The live analysis stopped (${text}). Readings are still shown and recorded; choose the test again to restart it.`,
  },
  charge: {
    theSelectionHoldsNoSamples: 'The selection holds no samples.',
    theStretchBeginsBefore: 'The stretch begins before the samples that are still kept. Record, and measure it in the recording.',
  },
  commands: {
    aRecordingIsRunning: 'A recording is running: stop it before another source is chosen.',
    anotherSourceIsBeing: 'Another source is being opened: wait for it.',
  },
  feed: {
    starting: 'Starting.',
    connecting: 'Connecting.',
    noSourceIsOpen: 'No source is open.',
  },
  compareAnalysed: {
    oneTraceIsA: (test: string, otherTest: string) => `One trace is of the ${test} test, the other of the ${otherTest} test: their figures have nothing in common. Compare two traces of the same test.`,
  },
  jobTraces: {
    itDoesNotSay: 'it does not say which test it is',
  },
  knownGoodStore: {
    libraryIsFull: (most: number) => `The library holds at most ${most} circuits. Remove some first.`,
    knownGoodSet: 'known-good set',
    thereIsNoKnown: (id: string) => `There is no known-good set ${id}.`,
    makeTheFolderFor: 'make the folder for known-good sets',
    removeTheKnownGoodSet: 'remove the known-good set',
    writeTheKnownGoodSet: 'write the known-good set',
  },
  sensorFacts: {
    serial: (serial: string) => `serial ${serial}`,
    at: (name: string, source: string) => `${name} at ${source}`,
  },
  arming: {
    armedStartsWithThe: 'Armed: starts with the next reading.',
    armedStartsAt: (at: string) => `Armed: starts at ${at}.`,
    armedStartsAtThe: 'Armed: starts at the next mark.',
    armedTheCurrentIs: (levelA: string) => `Armed: the current is past ${levelA} already. It must fall below first; then it starts when the current passes that level again.`,
    armedStartsWhenThe: (levelA: string) => `Armed: starts when the current passes ${levelA}.`,
    armedStartsWhenTheCurrent: (slopeAPerS: number) => `Armed: starts when the current changes by more than ${plain(slopeAPerS)} A/s, and by more than its noise.`,
  },
  record: {
    existsAlreadyChooseAnother: (out: string) => `${out} exists already: choose another name, so that no recording is overwritten.`,
    theRecordingItselfIs: (error: string, folder: string) => `${error} The recording itself is whole in ${folder}.`,
    stretchWithoutSamplesSee: (gaps: number, more: string) => `${gaps} stretch${more} without samples: see the gaps in the trace.`,
  },
  recorder: {
    notRecording: 'Not recording.',
    aRecordingIsRunningAlready: 'A recording is running already.',
    recording: 'Recording.',
    theRecordingCannotBeStarted: (error: string) => `The recording cannot be started. ${error}`,
    noRecordingIsRunning: 'No recording is running.',
    aRecordingIsRunning: 'A recording is running: stop it before another one is armed.',
    theRecordingCouldNot: (error: string) => `The recording could not be closed cleanly. ${error} It will be repaired when it is next opened.`,
    thereIsNoLogger: 'There is no logger to record from: connect one, or choose a virtual vehicle.',
    theSourceHasEnded: 'The source has ended and sends nothing more: choose another one, then record.',
    theLoggerIsNot: 'The logger is not sending: connect it, then record.',
    stoppedTheTraceIs: 'Stopped.',
    stoppedByItselfThe: 'Stopped by itself: the time set was over.',
    stoppedByItselfTheSize: 'Stopped by itself: the size set was reached.',
    stoppedByItselfTheVehicle: 'Stopped by itself: the vehicle sleeps.',
    stoppedTheSourceEnded: 'Stopped: the source ended.',
    stoppedTheSourceFailed: 'Stopped: the source failed.',
    stoppedTheDiskIs: 'Stopped: the disk is full. What was written is whole; make room, then record again.',
    stoppedTheDataFolder: 'Stopped: the data folder cannot be written. What was written is whole; check the disk.',
    stoppedTheDataFolderIs: 'Stopped: the data folder was removed, or another amptrail uses it now. What was written until then is kept.',
    stoppedTheDaemonWasClosed: 'Stopped: amptrail was closed.',
    closedAfterACrash: 'Closed after a crash.',
  },
  recordingSink: {
    nothingWasRecordedNo: (text: string) => `Nothing was recorded: no sample came. ${text}`,
    theRecordingHasEndedEarly: (text: string) => `The recording has ended early. ${text}`,
  },
  serve: {
    thePortMustBe: (port: number) => `The port must be a whole number from 0 to 65535, not ${port}.`,
    otherUsersOfThis: (dataFolder: string) => `Other users of this computer can read ${dataFolder}: its disk or its owner does not let amptrail close it to them.`,
    aRecordingThatWas: (jobId: string, traceId: string) => `A recording that was cut short has been closed and is whole up to its last second: ${jobId}/${traceId}`,
    theChoiceOfJob: (error: string) => `The choice of job cannot be kept over a restart. ${error}`,
    theRecordingHasJust: 'The recording has just ended: measure the stretch in it.',
  },
  channel: {
    theDaemonIsClosing: 'amptrail is closing.',
    itsThreadEnded: 'its thread ended',
  },
  liveWorker: {
    noAnalysisWasStarted: 'no analysis was started',
  },
  longWork: {
    cancelled: 'Cancelled.',
    theWorkCouldNot: 'The work could not be finished',
  },
  longWorker: {
    theTraceHoldsNo: (title: string) => `The trace "${title}" has no press of the switch, so no limits can be learnt from it: leave it out.`,
    itIsNotKnown: (title: string) => `It is not known which test the trace "${title}" is of: choose it on its page first.`,
  },
  traceViews: {
    theTraceCouldNot: 'The trace could not be read',
  },
};
