-- Which ladders are in use? One row per ladder.
select name, content, loaded_at
from ladder
order by name;
