/** Imported before any schema: the page's security policy allows no code made at run time, so none is tried. */
import * as z from 'zod/mini';

z.config({ jitless: true });
