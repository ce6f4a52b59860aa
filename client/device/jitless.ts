/** Imported before any schema: the page's security policy allows no code made at run time, so none is tried. */
import { z } from 'zod';

z.config({ jitless: true });
