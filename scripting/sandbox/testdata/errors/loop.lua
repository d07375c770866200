-- want: loop.lua:3: used more than 100000 steps; is there a loop without an end?
local n = 0
while true do n = n + 1 end
