-- want: not_equal.lua:4: not understood at '!'
-- hint: 'not equal' is written ~=
local a = 3
if a != 4 then print(a) end
