/** What a worker thread runs: it solves and draws what the main thread sends. */
import { serve } from "./serve.ts";

serve();
