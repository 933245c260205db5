/** Every test file gets an empty IndexedDB of its own. */

import "fake-indexeddb/auto";
