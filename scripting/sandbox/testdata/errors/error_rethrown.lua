-- want: error_rethrown.lua:2: inner trouble
local ok, why = pcall(function() error("inner trouble") end)

error(why)
