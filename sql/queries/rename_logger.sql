-- Gives a logger another name on every strike.
update strike set logger = $new_name where logger = $logger;
