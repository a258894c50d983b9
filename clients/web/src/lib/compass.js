// The circle of the person's compass, as the first view keeps it.
import { preferences } from './preferences.js';

export const compass = () => ({ graduation: '1', circle: 'azimuth', east_turn: 'clockwise', ...preferences.get('compass') });
