import fc from 'fast-check';

// The suite asks the same questions each time, so that what passed here passes everywhere; `npm run test:long` asks new
// ones. FC_SEED takes another number, to look further by hand.
fc.configureGlobal({ seed: Number(process.env['FC_SEED'] ?? '20261125') });
