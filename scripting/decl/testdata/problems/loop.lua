upset "x" { unit = "y" }
for i = 1, 100000 do
  local a = i
end
-- problems
-- 3: used more than 10000 steps; is there a loop without an end?
