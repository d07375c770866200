-- want: index_nil.lua:6: 'likely' asked of 'stop.told', which is nil (nothing)
-- hint: check that the value was set before this line and that its name is spelt right
local stop = {}

local function hours(n) return n * 3600 end
if stop.told.likely > hours(6) then print("long") end
