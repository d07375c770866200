-- want: error_level.lua:6: give a number of hours
local function need(n)
  if not n then error("give a number of hours", 2) end
end

need(nil)
