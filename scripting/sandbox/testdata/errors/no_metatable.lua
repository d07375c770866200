-- want: no_metatable.lua:3: 'setmetatable' is not available in these scripts
-- hint: use plain tables and functions
local t = setmetatable({}, {})
