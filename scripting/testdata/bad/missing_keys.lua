-- want: missing_keys.lua:4: scenario "bad" needs 'works'; add works = "..."
-- want: missing_keys.lua:4: scenario "bad" needs 'from'; add from = "2031-11-07 22:40"
-- want: missing_keys.lua:4: scenario "bad" needs 'length'; add length = "9 h"
scenario "bad" {}
