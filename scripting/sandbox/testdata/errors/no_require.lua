-- want: no_require.lua:3: 'require' is not available in these scripts
-- hint: a script cannot load other files
local x = require("os")
