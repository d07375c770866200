-- want: comma.lua:5: not understood at 'at'
-- hint: a comma may be missing before it
local t = {
  unit = "finishing train"
  at = "2031-11-07 22:40",
}
