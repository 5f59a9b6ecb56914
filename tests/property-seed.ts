import fc from 'fast-check';

/** One seed for all property tests, so that a commit passes or fails for everybody alike; PROPERTY_SEED=N looks elsewhere. */
fc.configureGlobal({ seed: Number(process.env['PROPERTY_SEED'] ?? 20_261_125) });
