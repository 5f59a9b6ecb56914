import type { Link, Linked } from '../../texts/linked.ts';

/** What the screen of the pages to print says, by file. */
export const prove = {
  headingCard: {
    yourHeading: 'Your heading',
    yourHeadingNoneYet: 'Your heading: none yet',
    headingOfYourPages: 'Heading of your pages',
    savedItIsOn: 'Saved. It is on every page for a customer from now on.',
    nameOfTheWorkshop: 'Name of the workshop, then address and phone',
    logo: 'Logo',
    logoFile: 'Logo file',
    logoSaved: 'Logo saved.',
    saveTheHeading: 'Save the heading',
    chooseALogo: 'Choose a logo',
    chooseAnotherLogo: 'Choose another logo',
    logoRemoved: 'Logo removed.',
    removeTheLogo: 'Remove the logo',
  },
  reportScreen: {
    forTheCustomer: 'For the customer',
    twoSentencesOnePicture: 'two sentences, one picture, room to sign',
    forTheFile: 'For the file',
    everyFigureSensorHashes: 'every figure, sensor, hashes',
    prove: 'Prove',
    noTraceYet: <Part>(test: Link<Part>, importing: Link<Part>): Linked<Part> => ['No trace yet. Record one on the ', test('Test'), ' screen, or ', importing('import a file'), '.'],
    chosenUnder: <Part>(count: number, compare: Link<Part>): Linked<Part> => [
      count === 1 ? 'One trace, all its presses' : `${count} traces side by side`, ', as chosen under ', compare('Compare'), '.',
    ],
    noRepairWritten: <Part>(repair: Link<Part>): Linked<Part> => ['No repair is written down in this job, so the page names none. ', repair('Write it down'), '.'],
    oneTraceOrBefore: 'One trace, or before and after',
    traceOrTheOne: 'Trace, or the one before the repair',
    none: 'None',
    afterTheRepair: 'After the repair',
    whoThePageIsFor: 'Who the page is for',
    chooseATrace: 'Choose a trace.',
    theFinishedPage: 'The finished page',
    makingThePage: 'Making the page',
    print: 'Print',
    saveAsAFile: 'Save as a file',
    saveAsJson: 'Save as JSON',
    oneFileThatOpens: 'One file that opens anywhere, without amptrail and without a network.',
  },
};
