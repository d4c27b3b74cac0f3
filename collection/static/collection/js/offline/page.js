/* What every page does so that the register works without network. */
import { start as keepPages } from './keep.js';
import { start as sayWhatWaits } from './line.js';

sayWhatWaits();
keepPages().catch(() => {}); // A browser that keeps nothing still sends forms.
